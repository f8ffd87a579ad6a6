// Trails on film: where they run, where the frame ends, and how much they expose.
#include <algorithm>
#include <array>

#include "tests/film.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

/// Where the lit part of a film lies: middles of pixels at or above half of the peak, in pixels.
std::vector<Vec2> lit_pixels(const Image& film) {
    double peak = 0.0;
    for (const glm::vec3& pixel : film.pixels) peak = std::max(peak, luminance_of(pixel));
    std::vector<Vec2> lit;
    for (int y = 0; y < film.height; ++y)
        for (int x = 0; x < film.width; ++x)
            if (const double level = luminance_of(film.at(x, y)); level > 0.1 * peak)
                lit.emplace_back(x + 0.5, y + 0.5);
    return lit;
}

Vec2 centroid_px(const Image& film) {
    Vec2 sum(0.0);
    for (int y = 0; y < film.height; ++y)
        for (int x = 0; x < film.width; ++x)
            sum += luminance_of(film.at(x, y)) * Vec2(x + 0.5, y + 0.5);
    return sum / sum_of(film);
}

double nearest_px(const std::vector<Vec2>& places, const Vec2& to) {
    double nearest = 1e9;
    for (const Vec2& place : places) nearest = std::min(nearest, glm::distance(place, to));
    return nearest;
}

/// A halo seen from (0, -15, 1.6): radius 5 m, 10 m up, on 36 x 24 mm at 14 mm.
PlacedShoot halo(double tilt_deg) {
    PlacedShoot shoot = dark_shoot({360, 240});
    Flight flight;
    flight.height_m = 10.0;
    flight.lap_s = 20.0;
    fly(shoot, bare_lamp("lamp", 100.0), flight);
    shoot.camera.position_m = {0.0, -15.0, 1.6};
    shoot.camera.bearing_deg = 0.0;
    shoot.camera.tilt_deg = tilt_deg;
    shoot.camera.shutter_s = 20.0;
    return shoot;
}

constexpr double px_per_mm = 10.0;  // 360 pixels on 36 mm

/// Trail pixels and points that lie on the true curve (pixels) belong together within a pixel.
void check_same_curve(const std::vector<Vec2>& lit, const std::vector<Vec2>& curve) {
    double worst_lit = 0.0;
    double worst_curve = 0.0;
    for (const Vec2& place : lit) worst_lit = std::max(worst_lit, nearest_px(curve, place));
    for (const Vec2& place : curve) worst_curve = std::max(worst_curve, nearest_px(lit, place));
    MESSAGE("lit pixels off the curve by up to ", worst_lit, ", curve off them by ", worst_curve);
    CHECK(worst_lit < 1.0);
    CHECK(worst_curve < 1.0);
}

/// Line of flight across the view at a distance, level with the lens, and its film.
struct Crossing {
    double focal_mm, f_number, distance_m, speed_m_s, intensity_cd, shutter_s, iso;
};

ExposedTake film_of(const Crossing& crossing) {
    PlacedShoot shoot = dark_shoot({90, 60});
    Flight flight;
    flight.shape = FlightShape::line;
    flight.from_m = Vec3(-0.3 * crossing.distance_m, crossing.distance_m, 50.0);
    flight.to_m = Vec3(0.3 * crossing.distance_m, crossing.distance_m, 50.0);
    flight.speed_m_s = crossing.speed_m_s;
    fly(shoot, bare_lamp("lamp", crossing.intensity_cd), flight);
    shoot.camera.position_m = {0.0, 0.0, 50.0};
    shoot.camera.bearing_deg = 0.0;
    shoot.camera.focal_mm = crossing.focal_mm;
    shoot.camera.f_number = crossing.f_number;
    shoot.camera.iso = crossing.iso;
    shoot.camera.shutter_s = crossing.shutter_s;
    shoot.camera.focus_m = crossing.distance_m;
    return exposed(shoot, {.quality = Quality::draft, .bounces = 0});
}

/// Exposure summed across the trail at the film's middle, in lux seconds times millimetres.
double across_lxs_mm(const Image& trail) {
    double sum = 0.0;
    for (int y = 0; y < trail.height; ++y)
        for (const int x : {trail.width / 2 - 1, trail.width / 2})
            sum += 0.5 * luminance_of(trail.at(x, y));
    return sum * 24.0 / trail.height;
}

}  // namespace

// Its image is the ellipse (u/a)^2 + ((w - w0)/b)^2 = 1 with w0 = f h D / (D^2 - R^2),
// b = f h R / (D^2 - R^2), a = f R / sqrt(D^2 - R^2); f = 14 mm, h = 8.4 m, D = 15 m, R = 5 m.
TEST_CASE("trail of a level circle seen by a level camera: the ellipse of the closed form") {
    const ExposedTake take = exposed(halo(0.0), {.quality = Quality::draft, .bounces = 0});
    const std::vector<Vec2> lit = lit_pixels(layer_of(take, "lamp.trail"));
    REQUIRE_FALSE(lit.empty());
    constexpr double w0 = 8.82, b = 2.94, a = 4.9497475;  // published, mm
    std::vector<Vec2> curve;
    for (int i = 0; i < 2000; ++i) {
        const double phi = 2.0 * pi * i / 2000.0;
        curve.push_back(Vec2(180.0 + px_per_mm * a * std::cos(phi),
                             120.0 - px_per_mm * (w0 + b * std::sin(phi))));
    }
    check_same_curve(lit, curve);
    const auto [left, right] = std::ranges::minmax_element(lit, {}, &Vec2::x);
    const auto [top, bottom] = std::ranges::minmax_element(lit, {}, &Vec2::y);
    CHECK_WITHIN(left->x, 180.0 - px_per_mm * 4.9497475, 1.0);
    CHECK_WITHIN(right->x, 180.0 + px_per_mm * 4.9497475, 1.0);
    CHECK_WITHIN(top->y, 120.0 - px_per_mm * 11.76, 1.0);
    CHECK_WITHIN(bottom->y, 120.0 - px_per_mm * 5.88, 1.0);
    CHECK_WITHIN(0.5 * (left->y + right->y), 120.0 - px_per_mm * 8.82, 1.5);
}

// Points of the circle, published: (u, w) in mm by the angle from east towards north.
TEST_CASE("places along the trail of the level camera") {
    const ExposedTake take = exposed(halo(0.0), {.quality = Quality::draft, .bounces = 0});
    const std::vector<Vec2> lit = lit_pixels(layer_of(take, "lamp.trail"));
    constexpr std::array<std::array<double, 2>, 9> film_mm{{{4.666667, 7.84},
                                                            {3.464102, 6.72},
                                                            {1.810645, 6.083768},
                                                            {0, 5.88},
                                                            {-2.67041, 6.34457},
                                                            {-4.666667, 7.84},
                                                            {-4.849742, 9.408},
                                                            {0, 11.76},
                                                            {4.849742, 9.408}}};
    for (const auto& [u, w] : film_mm)
        CHECK(nearest_px(lit, {180.0 + px_per_mm * u, 120.0 - px_per_mm * w}) < 1.0);
}

// The same circle, camera tilted up by t: with the level camera's coordinates (X, Y, Z) to the
// right, ahead and up, u = f X / (Y cos t + Z sin t) and w = f (Z cos t - Y sin t) / (Y cos t + Z
// sin t).
TEST_CASE("trail of a level circle seen by a pitched camera") {
    for (const double tilt_deg : {25.0, 40.0}) {
        const ExposedTake take = exposed(halo(tilt_deg), {.quality = Quality::draft, .bounces = 0});
        const std::vector<Vec2> lit = lit_pixels(layer_of(take, "lamp.trail"));
        const double c = std::cos(radians(tilt_deg));
        const double s = std::sin(radians(tilt_deg));
        std::vector<Vec2> curve;
        for (int i = 0; i < 2000; ++i) {
            const double phi = 2.0 * pi * i / 2000.0;
            const double X = 5.0 * std::cos(phi);
            const double Y = 15.0 + 5.0 * std::sin(phi);
            const double Z = 8.4;
            const double u = 14.0 * X / (Y * c + Z * s);
            const double w = 14.0 * (Z * c - Y * s) / (Y * c + Z * s);
            curve.push_back(Vec2(180.0 + px_per_mm * u, 120.0 - px_per_mm * w));
        }
        check_same_curve(lit, curve);
    }
}

// 2 atan(d / 2f) on 36 x 24 mm; geometry. A lamp a pixel inside that angle is on the frame's
// outermost pixels, one as far outside is not on it.
TEST_CASE("a lamp at the edge of the field of view lands at the edge of the frame") {
    struct Row {
        double focal_mm, across_deg, upright_deg;
    };
    constexpr std::array rows{Row{14, 104.25, 81.20259}, Row{24, 73.7398, 53.1301},
                              Row{35, 54.43222, 37.84929}, Row{50, 39.59775, 26.99147}};
    constexpr double far_m = 30.0;
    for (const Row& row : rows)
        for (const double side : {-1.0, 1.0})
            for (const bool upright : {false, true}) {
                const double half_rad = radians(0.5 * (upright ? row.upright_deg : row.across_deg));
                const auto trail_at = [&](double pixels_out) {
                    PlacedShoot shoot = dark_shoot({180, 120});
                    shoot.camera.position_m = {0.0, 0.0, 40.0};
                    shoot.camera.focal_mm = row.focal_mm;
                    shoot.camera.focus_m = far_m;
                    const double step = pixels_out * 0.2 / row.focal_mm;  // 0.2 mm a pixel
                    const double aside_m = side * far_m * (std::tan(half_rad) + step);
                    Lamp lamp = bare_lamp("lamp", 100.0);
                    lamp.face_mm = 1.0;
                    stand(shoot, lamp,
                          {upright ? 0.0 : aside_m, far_m, 40.0 + (upright ? aside_m : 0.0)});
                    const ExposedTake take =
                        exposed(shoot, {.quality = Quality::draft, .bounces = 0});
                    return layer_of(take, "lamp.trail");
                };
                const Image inside = trail_at(-0.7);
                REQUIRE(sum_of(inside) > 0.0);
                const Vec2 centre_px = centroid_px(inside);
                const double found = upright ? centre_px.y : centre_px.x;
                const double last = upright ? 120.0 : 180.0;
                // The film's rows run downwards.
                const bool at_end = (side > 0.0) != upright;
                CHECK_WITHIN(found, at_end ? last : 0.0, 1.0);
                CHECK(sum_of(trail_at(1.0)) == 0.0);
            }
}

// H w = (pi/4) T v I f / (N^2 d V), with the flight's speed V and the lens's vignetting v = 0.98 of
// ISO 12232 for light on the axis. The first row is published as H = 50.223214 lx s at w = 0.02 mm
// with v = 1.
TEST_CASE("exposure of a trail, summed across it") {
    constexpr std::array rows{Crossing{14, 5.6, 20, 1.570796327, 100, 20, 1600},
                              Crossing{24, 2.8, 8, 4.0, 40, 20, 100},
                              Crossing{50, 13, 45, 0.8, 900, 40, 6400}};
    CHECK_RELATIVE(pi / 4 * 0.9 * 100 * 14e-3 / (5.6 * 5.6 * 20 * 1.570796327 * 0.02e-3), 50.223214,
                   1e-6);
    for (const Crossing& row : rows) {
        const ExposedTake take = film_of(row);
        const double expected_lxs_mm =
            pi / 4 * 0.9 * 0.98 * row.intensity_cd * row.focal_mm /
            (row.f_number * row.f_number * row.distance_m * row.speed_m_s);
        CHECK_RELATIVE(across_lxs_mm(layer_of(take, "lamp.trail")), expected_lxs_mm, 0.02);
    }
}

TEST_CASE("a longer shutter leaves a trail as it is") {
    const Crossing crossing{14, 5.6, 20, 1.570796327, 100, 10, 1600};
    Crossing longer = crossing;
    longer.shutter_s = 30.0;
    const ExposedTake one = film_of(crossing);
    const ExposedTake other = film_of(longer);
    CHECK(layer_of(one, "lamp.trail").pixels == layer_of(other, "lamp.trail").pixels);
    CHECK(sum_of(layer_of(one, "lamp.trail")) > 0.0);
}

TEST_CASE("a trail is hidden where something stands nearer, and only there") {
    PlacedShoot shoot = halo(25.0);
    const ExposedTake open = exposed(shoot, {.quality = Quality::draft, .bounces = 0});
    Mesh board;  // from the axis to the east, between lens and halo
    board.positions = {
        {0.0f, -12.0f, 0.0f}, {9.0f, -12.0f, 0.0f}, {9.0f, -12.0f, 9.0f}, {0.0f, -12.0f, 9.0f}};
    board.normals.assign(4, {0.0f, -1.0f, 0.0f});
    board.triangles = {{0, 1, 2}, {0, 2, 3}};
    board.material_of = {0, 0};
    board.materials = {{}};
    add_subject(shoot, "board", board);
    const ExposedTake hidden = exposed(shoot, {.quality = Quality::draft, .bounces = 0});
    const Image& before = layer_of(open, "lamp.trail");
    const Image& behind = layer_of(hidden, "lamp.trail");
    for (int y = 0; y < before.height; ++y)
        for (int x = 0; x < before.width; ++x) {
            const double level = luminance_of(behind.at(x, y));
            if (x > 181)
                CHECK(level == 0.0);
            else if (x < 178)
                CHECK_WITHIN(level, luminance_of(before.at(x, y)),
                             1e-5 * luminance_of(before.at(x, y)));
        }
}
