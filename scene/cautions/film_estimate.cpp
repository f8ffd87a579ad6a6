#include "scene/cautions/film_estimate.h"

#include <cmath>
#include <optional>

#include "scene/basics/angle.h"
#include "scene/camera/lens_light.h"
#include "scene/shoot/open_lamp_light.h"
#include "scene/shoot/take_moment.h"
#include "scene/sky/evening.h"
#include "scene/sky/natural_light.h"

namespace lampflight {
namespace {

constexpr double farthest_m = 2000.0;

/// Light of the sky on open level ground, summed over a take's shutter: dusk fades meanwhile.
double sky_lxs(const Shoot& shoot, const Take& take) {
    const double shutter_s = settings_of(shoot, take).shutter_s;
    if (!shoot.place) return shoot.sky.horizontal_lx * shutter_s;
    const auto light = [](const NightSky& sky) { return horizontal_lx(sky); };
    return horizontal_lx(night_sky(shoot, moment_of(shoot, take).unix_s)) *
           as_at_opening_s(shoot, take.after_s, {{0.0, shutter_s}}, light);
}

double stops_over_clipping(const Shoot& shoot, const ExposureSettings& settings,
                           double film_cd_s_m2) {
    return std::log2(focal_plane_exposure_lxs(film_cd_s_m2, 1.0, settings.f_number) /
                     clipping_lxs(shoot.camera, settings.iso));
}

/// Where a film position sees level ground, no further off than lamps are reckoned.
std::optional<Vec2> seen_ground_m(const Vec3& lens_m, const Vec3& direction) {
    if (direction.z >= 0.0 || lens_m.z <= 0.0) return std::nullopt;
    const double distance_m = -lens_m.z / direction.z;
    if (distance_m > farthest_m) return std::nullopt;
    return Vec2(lens_m + distance_m * direction);
}

}  // namespace

bool opens_by_day(const Shoot& shoot, const Take& take) {
    if (!shoot.place) return shoot.sky.horizontal_lx > sun_lx(sunset_altitude_deg);
    return night_sky(shoot, moment_of(shoot, take).unix_s).sun.altitude_deg > sunset_altitude_deg;
}

double sky_stops_over(const Shoot& shoot, const Take& take) {
    const double factor = LensLight(shoot.camera).factor(Vec2(shoot.camera.pixels) / 2.0);
    return stops_over_clipping(shoot, settings_of(shoot, take), factor * sky_lxs(shoot, take) / pi);
}

std::vector<FilmCell> film_estimate(const FlownTake& seen) {
    constexpr int columns = 24, rows = 16;
    const PlacedShoot& shoot = seen.shoot;
    const Projection projection(shoot.camera);
    const LensLight lens(shoot.camera);
    const OpenLampLight lamps(shoot, seen.lit, {1.0, 16, 256});
    const double sky = sky_lxs(shoot, seen.take);
    std::vector<FilmCell> cells;
    for (int row = 0; row < rows; ++row)
        for (int column = 0; column < columns; ++column) {
            const Vec2 share{(column + 0.5) / columns, (row + 0.5) / rows};
            const Vec2 film_px = share * Vec2(shoot.camera.pixels);
            const Vec3 direction = projection.direction(film_px);
            const auto ground_m = seen_ground_m(projection.position_m(), direction);
            const double by_lamps = ground_m ? lamps.ground_cd_s_m2(*ground_m) : 0.0;
            const double by_sky = direction.z < 0.0 ? ground_cd_m2(shoot.ground, sky) : sky / pi;
            const double all = by_lamps + by_sky;
            FilmCell cell{};
            cell.is_ground = direction.z < 0.0;
            cell.stops_over = stops_over_clipping(shoot, seen.settings, lens.factor(film_px) * all);
            cell.lamp_share = all > 0.0 ? by_lamps / all : 0.0;
            cells.push_back(cell);
        }
    return cells;
}

}  // namespace lampflight
