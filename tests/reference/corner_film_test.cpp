// How brightly a line burns where its flight slows down for corners: light on film by the time
// spent there, against speeds from elementary mechanics.
#include <algorithm>
#include <cmath>
#include <vector>

#include "tests/drawn_lines.h"
#include "tests/film.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

constexpr double intensity_cd = 100.0;

/// A place on a course with the speed there.
struct OnCourse {
    Vec3 at_m;
    double arc_m;
    double speed_m_s;
};

/// Straight legs joined by arcs of one radius, from rest to rest within an acceleration and a top
/// speed. With the radius r an arc is flown at sqrt(a r), all of it across; a leg is left and
/// reached with the whole of a along it: v^2 = v0^2 + 2 a s.
class WorkedOut {
public:
    WorkedOut(const std::vector<Vec3>& corners_m, double radius_m, double acceleration_m_s2,
              double top_m_s)
        : acceleration_m_s2_(acceleration_m_s2), top_m_s_(top_m_s) {
        const double in_arcs = radius_m * acceleration_m_s2;  // square of the speed
        Vec3 from_m = corners_m.front();
        double square = 0.0;
        for (std::size_t i = 1; i < corners_m.size(); ++i) {
            const Vec3 in = glm::normalize(corners_m[i] - corners_m[i - 1]);
            if (i + 1 == corners_m.size()) {
                leg(from_m, corners_m[i], square, 0.0);
                break;
            }
            const Vec3 out = glm::normalize(corners_m[i + 1] - corners_m[i]);
            const double turn_rad = std::acos(glm::dot(in, out));
            const double used_m = radius_m * std::tan(0.5 * turn_rad);
            const Vec3 to_m = corners_m[i] - used_m * in;
            leg(from_m, to_m, square, in_arcs);
            square = in_arcs;
            from_m = corners_m[i] + used_m * out;
            if (radius_m > 0.0) arc(to_m, in, out, radius_m, turn_rad);
        }
    }

    const std::vector<OnCourse>& places() const { return places_; }
    double length_m() const { return arc_m_; }

private:
    static constexpr double step_m = 0.005;

    void add(const Vec3& at_m, double part_m, double square) {
        arc_m_ += 0.5 * part_m;
        places_.push_back({at_m, arc_m_, std::sqrt(square)});
        arc_m_ += 0.5 * part_m;
    }
    void leg(const Vec3& from_m, const Vec3& to_m, double first, double last) {
        const double length_m = glm::distance(from_m, to_m);
        // Else the arcs could not be flown at their speed.
        REQUIRE(std::abs(last - first) <= 2.0 * acceleration_m_s2_ * length_m);
        const auto parts = static_cast<int>(std::ceil(length_m / step_m));
        for (int i = 0; i < parts; ++i) {
            const double way_m = length_m * (i + 0.5) / parts;
            add(glm::mix(from_m, to_m, way_m / length_m), length_m / parts,
                std::min({first + 2.0 * acceleration_m_s2_ * way_m,
                          last + 2.0 * acceleration_m_s2_ * (length_m - way_m),
                          top_m_s_ * top_m_s_}));
        }
    }
    void arc(const Vec3& from_m, const Vec3& in, const Vec3& out, double radius_m,
             double turn_rad) {
        const Vec3 inward = glm::normalize(out - glm::dot(out, in) * in);
        const auto parts = static_cast<int>(std::ceil(radius_m * turn_rad / step_m));
        for (int i = 0; i < parts; ++i) {
            const double turned_rad = turn_rad * (i + 0.5) / parts;
            add(from_m +
                    radius_m * (std::sin(turned_rad) * in + (1.0 - std::cos(turned_rad)) * inward),
                radius_m * turn_rad / parts, radius_m * acceleration_m_s2_);
        }
    }

    double acceleration_m_s2_;
    double top_m_s_;
    double arc_m_ = 0.0;
    std::vector<OnCourse> places_;
};

/// In pixels, by hand: an upright camera that looks north and up.
Vec2 pinhole_px(const Camera& camera, const Vec3& at_m) {
    const Vec3 forward = glm::normalize(*camera.look_at_m - camera.position_m);
    const Vec3 right(1.0, 0.0, 0.0);
    const Vec3 up = glm::cross(right, forward);
    const Vec3 to = at_m - camera.position_m;
    const double scale = camera.focal_mm / glm::dot(to, forward) * camera.pixels.x / 36.0;
    return 0.5 * Vec2(camera.pixels) + scale * Vec2(glm::dot(to, right), -glm::dot(to, up));
}

/// Whether a place counts to a stretch of the course, with soft ends, so that it does not matter on
/// which side of them a pixel falls.
double share_in(double arc_m, double middle_m, double half_m) {
    return std::clamp(1.0 - std::abs(arc_m - middle_m) / half_m, 0.0, 1.0);
}

/// A film's light with the place on the course that it belongs to.
struct Spot {
    double arc_m;
    double light_lxs_mm2;
};

std::vector<Spot> spots_of(const Camera& camera, const Image& film,
                           const std::vector<OnCourse>& places) {
    std::vector<Vec2> course_px;
    for (const OnCourse& place : places) course_px.push_back(pinhole_px(camera, place.at_m));
    const Vec2 pitch_mm = pixel_pitch_mm(camera);
    std::vector<Spot> spots;
    for (int y = 0; y < film.height; ++y)
        for (int x = 0; x < film.width; ++x) {
            if (film.at(x, y) == glm::vec3(0.0f)) continue;
            const Vec2 pixel(x + 0.5, y + 0.5);
            const auto nearest = std::ranges::min_element(
                course_px, {}, [&](const Vec2& at) { return glm::dot(at - pixel, at - pixel); });
            CHECK(glm::distance(*nearest, pixel) < 3.0);
            const auto place = static_cast<std::size_t>(nearest - course_px.begin());
            spots.push_back(
                {places[place].arc_m, luminance_of(film.at(x, y)) * pitch_mm.x * pitch_mm.y});
        }
    return spots;
}

/// A flight in an upright plane 210 m off, on 14 m of frame.
PlacedShoot drawn_far_off(Flight flight) {
    PlacedShoot shoot = dark_shoot({700, 600});
    Lamp lamp = bare_lamp("lamp", intensity_cd);
    lamp.face_mm = 10.0;
    fly(shoot, lamp, std::move(flight));
    look_up(shoot.camera, {0.0, 200.0, 60.0}, 14.0);
    shoot.camera.shutter_s = 120.0;
    return shoot;
}

/// Light of stretches of 0.35 m, and of the whole, against time spent there by the worked-out
/// speeds. Left out are the first and last metre, where speeds go to zero.
void check_by_speed(const PlacedShoot& shoot, const WorkedOut& course) {
    const Camera& camera = shoot.camera;
    const ExposedTake take = exposed(shoot, {.quality = Quality::draft, .bounces = 0});
    const Image film = layer_of(take, "lamp.trail");
    const std::vector<OnCourse>& places = course.places();
    const std::vector<Spot> spots = spots_of(camera, film, places);
    constexpr double half_m = 0.35;
    double worst = 0.0;
    double slowest = 1e9;
    double fastest = 0.0;
    double brightest = 0.0;
    double darkest = 1e9;
    for (double middle_m = 1.0 + half_m; middle_m < course.length_m() - 1.0 - half_m;
         middle_m += half_m) {
        double found = 0.0;
        for (const Spot& spot : spots)
            found += share_in(spot.arc_m, middle_m, half_m) * spot.light_lxs_mm2;
        double expected = 0.0;
        double way_m = 0.0;
        double time_s = 0.0;
        for (std::size_t i = 0; i < places.size(); ++i) {
            const double part_m =
                (i + 1 < places.size() ? places[i + 1].arc_m : course.length_m()) - places[i].arc_m;
            const double share = share_in(places[i].arc_m, middle_m, half_m) * part_m;
            way_m += share;
            time_s += share / places[i].speed_m_s;
            expected +=
                share / places[i].speed_m_s * drawn_lx_mm2(camera, intensity_cd, places[i].at_m);
        }
        CHECK_RELATIVE(found, expected, 0.02);
        worst = std::max(worst, std::abs(found / expected - 1.0));
        slowest = std::min(slowest, way_m / time_s);
        fastest = std::max(fastest, way_m / time_s);
        brightest = std::max(brightest, found / way_m);
        darkest = std::min(darkest, found / way_m);
    }
    MESSAGE("light a metre against 1 / speed: off by up to ", 100.0 * worst, " %; speeds ", slowest,
            " to ", fastest, " m/s, brightest to darkest ", brightest / darkest);
    CHECK(brightest / darkest > 0.95 * fastest / slowest);
}

/// The tips of a star and the corners between, clockwise from its top, as seen from the south.
std::vector<Vec3> star_corners_m(const Vec3& centre_m, double radius_m, double inner_m, int tips) {
    std::vector<Vec3> corners;
    for (int i = 0; i <= 2 * tips; ++i) {
        const double clock_rad = pi * i / tips;
        corners.push_back(centre_m + (i % 2 == 0 ? radius_m : inner_m) *
                                         Vec3(std::sin(clock_rad), 0.0, std::cos(clock_rad)));
    }
    return corners;
}

}  // namespace

TEST_CASE("a line of waypoints burns brighter in its corners, as one over the speed") {
    const std::vector<Vec3> corners{
        {-5.0, 200.0, 56.0}, {-5.0, 200.0, 64.0}, {5.0, 200.0, 64.0}, {4.0, 200.0, 56.0}};
    Flight flight = cornered_flight(corners, 2.5);
    flight.corner_radius_m = 0.6;
    flight.limits = {2.5, 1.0};
    check_by_speed(drawn_far_off(flight), WorkedOut(corners, 0.6, 1.0, 2.5));
}

// A star of five tips whose inner corners lie on its crossed strokes: cos 72 / cos 36 of the
// radius.
TEST_CASE("a star burns brighter in its tips and inner corners, as one over the speed") {
    Flight flight;
    flight.shape = FlightShape::star;
    flight.centre_m = {0.0, 200.0};
    flight.height_m = 60.0;
    flight.radius_m = 5.5;
    flight.corner_radius_m = 0.3;
    flight.speed_m_s = 1.5;
    flight.limits = {1.5, 0.8};
    const double inner_m = 5.5 * std::cos(radians(72.0)) / std::cos(radians(36.0));
    check_by_speed(drawn_far_off(flight),
                   WorkedOut(star_corners_m({0.0, 200.0, 60.0}, 5.5, inner_m, 5), 0.3, 0.8, 1.5));
}

// Within x of a corner in which the drone stops and holds: sqrt(2 x / a) in and out, and the hold.
TEST_CASE("the knot of a corner in which a drone stops holds the light of the time spent there") {
    for (const double hold_s : {0.0, 2.5}) {
        const Vec3 corner_m(0.0, 200.0, 63.0);
        Flight flight = cornered_flight({{-4.0, 200.0, 57.0}, corner_m, {4.0, 200.0, 57.0}}, 2.0);
        flight.path[1].corner_radius_m = 0.0;
        flight.path[1].hold_s = hold_s;
        flight.limits = {2.0, 1.2};
        const PlacedShoot shoot = drawn_far_off(flight);
        const Image film =
            layer_of(exposed(shoot, {.quality = Quality::draft, .bounces = 0}), "lamp.trail");
        const Vec2 corner_px = pinhole_px(shoot.camera, corner_m);
        constexpr double within_m = 0.5;
        // The plane stands a little oblique: by the pixels of half a metre along the leg.
        const Vec3 along = glm::normalize(Vec3(4.0, 0.0, -6.0));
        const double within_px =
            glm::distance(corner_px, pinhole_px(shoot.camera, corner_m + within_m * along));
        double found = 0.0;
        for (int y = 0; y < film.height; ++y)
            for (int x = 0; x < film.width; ++x)
                if (glm::distance(Vec2(x + 0.5, y + 0.5), corner_px) < within_px)
                    found += luminance_of(film.at(x, y));
        found *= std::pow(pixel_pitch_mm(shoot.camera).x, 2);
        const double time_s = hold_s + 2.0 * std::sqrt(2.0 * within_m / 1.2);
        const double light = drawn_lx_mm2(shoot.camera, intensity_cd, corner_m);
        MESSAGE("knot of ", time_s, " s: off by ", 100.0 * (found / (light * time_s) - 1.0), " %");
        CHECK_RELATIVE(found, light * time_s, 0.02);
        // Rest to rest over legs of sqrt(52) m: s / v + v / a each.
        const double whole_s = hold_s + 2.0 * (std::sqrt(52.0) / 2.0 + 2.0 / 1.2);
        const double all = drawn_lxs_mm2(shoot.camera, film);
        CHECK_RELATIVE(all, light * whole_s, 0.02);
    }
}
