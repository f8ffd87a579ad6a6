// The trail of a drone that strays: it lies where the drone went, and is as bright as it went fast.
#include <algorithm>
#include <cmath>
#include <vector>

#include "scene/shoot/lit_lamp.h"
#include "tests/film.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

constexpr double far_m = 300.0, focal_mm = 300.0, intensity_cd = 1e5, line_m = 30.0;

/// A line across the view of a long lens, flown in 20 s.
PlacedShoot straying_line(double wander_m) {
    PlacedShoot shoot = dark_shoot({180, 120});
    Flight flight;
    flight.shape = FlightShape::line;
    flight.from_m = Vec3(-0.5 * line_m, far_m, 50.0);
    flight.to_m = Vec3(0.5 * line_m, far_m, 50.0);
    flight.lap_s = 20.0;
    flight.wander_m = wander_m;
    fly(shoot, bare_lamp("lamp", intensity_cd), flight);
    shoot.camera.position_m = {0.0, 0.0, 50.0};
    shoot.camera.bearing_deg = 0.0;
    shoot.camera.focal_mm = focal_mm;
    shoot.camera.focus_m = far_m;
    shoot.camera.f_number = 8.0;
    shoot.camera.shutter_s = 20.0;
    return shoot;
}

struct Column {
    double lxs_mm = 0.0;     ///< summed across the trail
    double middle_px = 0.0;  ///< of its light
};

std::vector<Column> columns_of(const Image& trail) {
    std::vector<Column> columns(static_cast<std::size_t>(trail.width));
    for (int x = 0; x < trail.width; ++x) {
        Column& column = columns[static_cast<std::size_t>(x)];
        for (int y = 0; y < trail.height; ++y) {
            const double level = luminance_of(trail.at(x, y));
            column.lxs_mm += level * 24.0 / trail.height;
            column.middle_px += level * 24.0 / trail.height * (y + 0.5);
        }
        if (column.lxs_mm > 0.0) column.middle_px /= column.lxs_mm;
    }
    return columns;
}

}  // namespace

// H w = q I f^2 / (N^2 d^2) dt / dx for a point that crosses the film at dx / dt: the exposure of a
// trail (trail_film_test.cpp) with the speed V = (dx / dt) d / f that it has just there.
TEST_CASE("a straying trail lies on the drone's way and is exposed by its speed there") {
    for (const double wander_m : {0.0, 0.8}) {
        const PlacedShoot shoot = straying_line(wander_m);
        const LitLamp lit = lit_lamps(shoot, shoot.takes.front()).front();
        const ExposedTake take = exposed(shoot, {.quality = Quality::draft, .bounces = 0});
        const std::vector<Column> columns = columns_of(layer_of(take, "lamp.trail"));
        const Projection projection(shoot.camera);
        std::vector<double> spent_s(columns.size(), 0.0), height_px(columns.size(), 0.0);
        constexpr int steps = 100000;
        for (int i = 0; i < steps; ++i) {
            const auto at = projection.film_px(lit.position_m(20.0 * (i + 0.5) / steps));
            const auto column = static_cast<std::size_t>(at->x);
            spent_s[column] += 20.0 / steps;
            height_px[column] += 20.0 / steps * at->y;
        }
        const double pitch_mm = 36.0 / 180.0;
        double slowest_s = 1e9, longest_s = 0.0, worst = 0.0, worst_px = 0.0;
        for (std::size_t x = 40; x < 140; ++x) {  // ends aside
            const Vec2 here_px(static_cast<double>(x) + 0.5, 60.0);
            const double q =
                lens_factor(shoot.camera.lens.transmission, projection.cos_off_axis(here_px));
            const double expected_lxs_mm = q * intensity_cd * focal_mm * focal_mm /
                                           (64.0 * far_m * far_m) * spent_s[x] / pitch_mm;
            worst = std::max(worst, std::abs(columns[x].lxs_mm / expected_lxs_mm - 1.0));
            worst_px =
                std::max(worst_px, std::abs(columns[x].middle_px - height_px[x] / spent_s[x]));
            slowest_s = std::min(slowest_s, spent_s[x]);
            longest_s = std::max(longest_s, spent_s[x]);
        }
        MESSAGE("exposure off by ", worst, ", place by ", worst_px, " px");
        CHECK(worst < 0.02);
        CHECK(worst_px < 0.1);
        CHECK(longest_s / slowest_s > (wander_m > 0.0 ? 1.2 : 0.99));
    }
}
