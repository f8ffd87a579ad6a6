#include "scene/flights/files/svg_flatten.h"

#include <algorithm>
#include <cmath>
#include <memory>
#include <random>

#include <cairo.h>

#include "scene/basics/angle.h"
#include "scene/flights/files/svg_path.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

/// Cairo's points have 8 binary places (cairo-fixed-type-private.h), and drawings here are this
/// large, so that they tell far less than what a chord may be off.
constexpr double cairo_side = 20'000.0;
constexpr double cairo_tolerance = 0.1;
constexpr double cairo_rounding = 2.0 / 256.0;

class CairoPath {
public:
    CairoPath() { cairo_set_tolerance(context_.get(), cairo_tolerance); }

    cairo_t* operator*() { return context_.get(); }

    /// The points of what was drawn, as chords.
    std::vector<Vec2> flat() {
        const std::unique_ptr<cairo_path_t, decltype(&cairo_path_destroy)> path(
            cairo_copy_path_flat(context_.get()), &cairo_path_destroy);
        std::vector<Vec2> points;
        for (int i = 0; i < path->num_data; i += path->data[i].header.length)
            if (path->data[i].header.length > 1)
                points.emplace_back(path->data[i + 1].point.x, path->data[i + 1].point.y);
        return points;
    }

private:
    std::unique_ptr<cairo_surface_t, decltype(&cairo_surface_destroy)> surface_{
        cairo_recording_surface_create(CAIRO_CONTENT_COLOR_ALPHA, nullptr), &cairo_surface_destroy};
    std::unique_ptr<cairo_t, decltype(&cairo_destroy)> context_{cairo_create(surface_.get()),
                                                                &cairo_destroy};
};

double from_chord(const Vec2& point, const Vec2& from, const Vec2& to) {
    const Vec2 chord = to - from;
    const double square = glm::dot(chord, chord);
    const double share =
        square > 0.0 ? std::clamp(glm::dot(point - from, chord) / square, 0.0, 1.0) : 0.0;
    return glm::distance(point, from + share * chord);
}

/// The farthest that points of one, and of the middles of its chords, lie from the other.
double farthest_off(const std::vector<Vec2>& points, const std::vector<Vec2>& line) {
    double farthest = 0.0;
    const auto look = [&](const Vec2& point) {
        double nearest = 1e300;
        for (std::size_t i = 1; i < line.size(); ++i)
            nearest = std::min(nearest, from_chord(point, line[i - 1], line[i]));
        farthest = std::max(farthest, nearest);
    };
    for (std::size_t i = 0; i < points.size(); ++i) {
        look(points[i]);
        if (i > 0) look(0.5 * (points[i] + points[i - 1]));
    }
    return farthest;
}

/// Hausdorff's distance.
double hausdorff(const std::vector<Vec2>& one, const std::vector<Vec2>& other) {
    return std::max(farthest_off(one, other), farthest_off(other, one));
}

SvgStroke flattened(std::string_view d) {
    const auto subpaths = std::get<std::vector<SvgSubpath>>(read_svg_path(d, 1000));
    FigureBox box;
    include(box, subpaths.at(0));
    return flatten(subpaths.at(0), fineness_of(std::max(box.size().x, box.size().y)), 100'000);
}

std::size_t corners_of(const SvgStroke& stroke) {
    return static_cast<std::size_t>(std::count(stroke.corner.begin(), stroke.corner.end(), true));
}

/// The sharpest turn at points that are no corners, in degrees, but for bends that are less than a
/// thirty-thousandth of the drawing's side long.
double sharpest_deg(const SvgStroke& stroke, double side) {
    double sharpest = 0.0;
    for (std::size_t i = 1; i + 1 < stroke.points.size(); ++i) {
        if (stroke.corner[i]) continue;
        const Vec2 a = stroke.points[i] - stroke.points[i - 1];
        const Vec2 b = stroke.points[i + 1] - stroke.points[i];
        if (std::min(glm::length(a), glm::length(b)) < side / 30'000.0) continue;
        sharpest = std::max(sharpest,
                            degrees(std::atan2(std::abs(a.x * b.y - a.y * b.x), glm::dot(a, b))));
    }
    return sharpest;
}

}  // namespace

TEST_CASE("chords of cubics lie as near the curve as they may, judged by cairo's") {
    std::mt19937 dice(11);
    std::uniform_real_distribution<double> coordinate(0.0, cairo_side);
    const auto point = [&] { return Vec2(coordinate(dice), coordinate(dice)); };
    for (int trial = 0; trial < 25; ++trial) {
        SvgSubpath subpath{point(), {}, false};
        CairoPath cairo;
        cairo_move_to(*cairo, subpath.start.x, subpath.start.y);
        for (int i = 0; i < 2; ++i) {
            const SvgCubic cubic{point(), point(), point()};
            subpath.segments.emplace_back(cubic);
            cairo_curve_to(*cairo, cubic.first_handle.x, cubic.first_handle.y,
                           cubic.second_handle.x, cubic.second_handle.y, cubic.to.x, cubic.to.y);
        }
        FigureBox box;
        include(box, subpath);
        const double side = std::max(box.size().x, box.size().y);
        const SvgStroke stroke = flatten(subpath, fineness_of(side), 100'000);
        CHECK(hausdorff(stroke.points, cairo.flat()) <=
              side / 4000.0 + cairo_tolerance + cairo_rounding);
        CHECK(sharpest_deg(stroke, side) < 9.0);
        CHECK(stroke.points.size() < 400);

        // The box is that of the curve itself.
        FigureBox flat;
        for (const Vec2& each : cairo.flat()) flat.include(each);
        CHECK_WITHIN(box.low, flat.low, 2.0 * (cairo_tolerance + cairo_rounding));
        CHECK_WITHIN(box.high, flat.high, 2.0 * (cairo_tolerance + cairo_rounding));
    }
}

TEST_CASE("chords of turned arcs lie as near the ellipse as they may, judged by cairo's") {
    std::mt19937 dice(12);
    std::uniform_real_distribution<double> radius(500.0, 8000.0);
    std::uniform_real_distribution<double> angle(-3.0, 3.0);
    for (int trial = 0; trial < 25; ++trial) {
        const Vec2 radii(radius(dice), radius(dice));
        const double turned_rad = angle(dice);
        const double from_rad = angle(dice);
        const double to_rad = angle(dice);
        CairoPath cairo;
        cairo_translate(*cairo, 9000.0, 9000.0);
        cairo_rotate(*cairo, turned_rad);
        cairo_scale(*cairo, radii.x, radii.y);
        (to_rad > from_rad ? cairo_arc : cairo_arc_negative)(*cairo, 0.0, 0.0, 1.0, from_rad,
                                                             to_rad);
        cairo_identity_matrix(*cairo);
        const std::vector<Vec2> flat = cairo.flat();

        const SvgArcShape shape{radii, degrees(turned_rad), std::abs(to_rad - from_rad) > pi,
                                to_rad > from_rad};
        SvgArc exact{Vec2(9000.0),
                     radii.x * Vec2(std::cos(turned_rad), std::sin(turned_rad)),
                     radii.y * Vec2(-std::sin(turned_rad), std::cos(turned_rad)),
                     from_rad,
                     to_rad - from_rad,
                     {}};
        SvgSubpath subpath{exact.point(from_rad), {}, false};
        subpath.segments.push_back(svg_arc(subpath.start, shape, exact.point(to_rad)));
        FigureBox box;
        include(box, subpath);
        const double side = std::max(box.size().x, box.size().y);
        const SvgStroke stroke = flatten(subpath, fineness_of(side), 100'000);
        CHECK(hausdorff(stroke.points, flat) <= side / 4000.0 + cairo_tolerance + cairo_rounding);
        CHECK(sharpest_deg(stroke, side) < 6.1);
        CHECK(corners_of(stroke) == 2);
    }
}

TEST_CASE("points inside a curve and even joints are no corners") {
    const SvgStroke square = flattened("M0 0H10V10H0z");
    CHECK(square.closed);
    CHECK(square.points.size() == 4);
    CHECK(corners_of(square) == 4);
    // A line that goes on straight, and into an arc along its tangent.
    const SvgStroke even = flattened("M0 0H5H10A5 5 0 0 1 10 10");
    CHECK(corners_of(even) == 2);
    CHECK_WITHIN(even.points[1], Vec2(5.0, 0.0), 0.0);
    CHECK_WITHIN(even.points.back(), Vec2(10.0, 10.0), 0.0);
    // 1 degree of turn is the limit.
    CHECK(corners_of(flattened("M0 0L10 0L20 0.17")) == 2);
    CHECK(corners_of(flattened("M0 0L10 0L20 0.18")) == 3);
    // Even all round, and even but for where it begins.
    CHECK(corners_of(flattened("M10 0A10 10 0 0 1-10 0A10 10 0 0 1 10 0z")) == 0);
    CHECK(corners_of(flattened("M0 0C20 30-20 30 0 0z")) == 1);
}

TEST_CASE("a cusp inside a curve is a corner") {
    // Both handles crossed over so far that the curve stops and turns back in its middle.
    const SvgStroke cusp = flattened("M0 0C10 10 0 10 10 0");
    REQUIRE(corners_of(cusp) == 3);
    for (std::size_t i = 1; i + 1 < cusp.points.size(); ++i)
        if (cusp.corner[i]) CHECK_WITHIN(cusp.points[i], Vec2(5.0, 7.5), 1e-3);
    CHECK(cusp.points.size() < 200);
    // A handle beyond the end of a straight cubic: out to the tip (t = 1/2, by hand) and back.
    const SvgStroke back = flattened("M0 0C10 0 10 0 0 0");
    FigureBox box;
    for (const Vec2& point : back.points) box.include(point);
    CHECK_WITHIN(box.high.x, 7.5, 1e-3);
    CHECK(corners_of(back) == 3);
}

TEST_CASE("segments without length vanish, handles without length do not bend") {
    CHECK(flattened("M0 0l0 0H10l0 0c0 0 0 0 0 0a5 5 0 0 1 0 0V10").points.size() == 3);
    const SvgStroke straight = flattened("M0 0C0 0 10 0 10 0L10 0");
    CHECK(straight.points.size() == 2);
    CHECK(corners_of(straight) == 2);
    CHECK(flattened("M0 0H10V10L0 0z").points.size() == 3);
    const auto point = std::get<std::vector<SvgSubpath>>(read_svg_path("M1 1l0 0z", 10));
    CHECK(flatten(point.at(0), fineness_of(1.0), 10).points.size() == 1);
}
