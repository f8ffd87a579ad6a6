#include "renderer/trails/star_trails.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <vector>

#include <tbb/parallel_for.h>
#include <glm/gtc/quaternion.hpp>

#include "renderer/air/air_column.h"
#include "renderer/film/disc_drawing.h"
#include "scene/basics/angle.h"
#include "scene/basics/colour.h"
#include "scene/camera/lens_light.h"
#include "scene/camera/trail_width.h"
#include "scene/shoot/take_moment.h"
#include "scene/sky/celestial.h"
#include "scene/sky/starlight.h"

namespace lampflight {
namespace {

constexpr double step_shifts = 2.0;     // of what a lamp's trail takes
constexpr double longest_leg_s = 20.0;  // 0.08 degrees: straight on the film, alike in brightness
constexpr double infinity_m = 1e9;
constexpr double lens_spread_mm = 0.012;
constexpr float skirt_share = 0.15f;  // without it bright stars are discs with hard edges
constexpr double skirt_widths = 3.0;
constexpr std::size_t stars_at_once = 256;  // that threads share before they are laid

/// Even legs of one stretch of time, and how the sky is turned at their ends.
struct Legs {
    double leg_s;
    std::vector<glm::dmat3> turns;
};

std::vector<Legs> legs_of(const StarField& field, const TimeWindows& times) {
    const double latitude = radians(field.latitude_deg);
    const Vec3 pole(0.0, std::cos(latitude), std::sin(latitude));
    std::vector<Legs> all;
    for (const TimeWindow& window : times) {
        const double lasts_s = window.to_s - window.from_s;
        const int count = static_cast<int>(std::max(1.0, std::ceil(lasts_s / longest_leg_s)));
        Legs legs{lasts_s / count, {}};
        for (int i = 0; i <= count; ++i) {
            const double turned_rad = sky_turn_rad_s * (window.from_s + legs.leg_s * i);
            legs.turns.push_back(glm::mat3_cast(glm::angleAxis(-turned_rad, pole)) *
                                 field.horizon_from_icrs);
        }
        all.push_back(std::move(legs));
    }
    return all;
}

Vec3 icrs_direction(const BrightStar& star) {
    const double ra = radians(star.ra_deg), dec = radians(star.dec_deg);
    return {std::cos(dec) * std::cos(ra), std::cos(dec) * std::sin(ra), std::sin(dec)};
}

double altitude_deg(const Vec3& direction) {
    return degrees(std::asin(std::clamp(direction.z, -1.0, 1.0)));
}

/// Where refraction sends a direction.
Vec3 lifted(const Vec3& direction, double elevation_m) {
    const double altitude = radians(refracted_altitude_deg(altitude_deg(direction), elevation_m));
    const double level = std::hypot(direction.x, direction.y);
    if (level <= 0.0) return direction;
    const double widened = std::cos(altitude) / level;
    return {direction.x * widened, direction.y * widened, std::sin(altitude)};
}

/// Lux on a plane that faces it, under the air, at its seeming altitude.
Rgb light_lx(const StarField& field, const BrightStar& star, double seen_altitude_deg) {
    const double air = airmass(seen_altitude_deg);
    const double lux = star_lx(star.v_mag + field.extinction.v_mag * air) * field.clear_share;
    return lux * planckian_rgb(star_temperature_k(star.b_v + field.extinction.b_v_mag * air));
}

/// One star's light, leg by leg.
class StarPainter {
public:
    StarPainter(const Camera& camera, const ExposureSettings& settings, const Geometry& geometry,
                const StarField& field, int side)
        : projection_(camera),
          geometry_(geometry),
          field_(field),
          frame_px_(camera.pixels),
          radius_px_(0.5 * star_width_mm(camera, settings.f_number) / pixel_pitch_mm(camera).x),
          step_px_(step_shifts * finest_shift_px(radius_px_, side)),
          lens_(camera),
          gain_(lens_.point_gain(settings.f_number)),
          forward_(axes_of(camera).forward),
          corner_rad_(std::acos(std::min(1.0, projection_.cos_off_axis({0.0, 0.0})))) {}

    /// Whether it could come into the frame: no point of an arc is farther from its middle than
    /// half the turn.
    bool may_show(const Vec3& direction, const Legs& legs) const {
        constexpr double room_rad = 0.03;  // refraction, the image's width
        const std::size_t middle = legs.turns.size() / 2;
        const auto count = static_cast<double>(legs.turns.size());
        const double off_rad =
            std::acos(std::clamp(glm::dot(forward_, legs.turns[middle] * direction), -1.0, 1.0));
        return off_rad < corner_rad_ + room_rad + 0.5 * sky_turn_rad_s * legs.leg_s * count;
    }

    /// Adds the star's discs.
    void paint(const BrightStar& star, const Vec3& direction, const Legs& legs,
               std::vector<FilmDisc>& discs) const {
        Vec3 from = lifted(legs.turns.front() * direction, field_.elevation_m);
        for (std::size_t i = 1; i < legs.turns.size(); ++i) {
            const Vec3 to = lifted(legs.turns[i] * direction, field_.elevation_m);
            paint_leg(star, from, to, legs.leg_s, discs);
            from = to;
        }
    }

private:
    bool near_frame(const Vec2& at_px, double within_px) const {
        return at_px.x > -within_px && at_px.y > -within_px && at_px.x < frame_px_.x + within_px &&
               at_px.y < frame_px_.y + within_px;
    }

    void paint_leg(const BrightStar& star, const Vec3& from, const Vec3& to, double leg_s,
                   std::vector<FilmDisc>& discs) const {
        const auto from_px = projection_.film_px(projection_.position_m() + from);
        const auto to_px = projection_.film_px(projection_.position_m() + to);
        if (!from_px || !to_px) return;
        const double length_px = glm::distance(*from_px, *to_px);
        const double reach_px = length_px + skirt_widths * radius_px_ + 2.0;
        if (!near_frame(*from_px, reach_px)) return;
        const Vec3 middle = glm::normalize(from + to);
        if (middle.z <= 0.0) return;
        const double count = std::max(1.0, std::ceil(length_px / step_px_));
        const double lux_seconds = gain_ * glm::dot(middle, forward_) * leg_s / count;
        const glm::vec3 deposit(lux_seconds * light_lx(field_, star, altitude_deg(middle)));
        for (double step = 0.0; step < count; step += packet_size) {
            const int lanes = static_cast<int>(std::min<double>(packet_size, count - step));
            const auto along = [&](int i) { return (step + i + 0.5) / count; };
            RayPacket rays;
            rays.reach.lane.fill(std::numeric_limits<float>::infinity());
            for (int i = 0; i < packet_size; ++i) {
                rays.origin_m.set(i, glm::vec3(projection_.position_m()));
                rays.direction.set(i, glm::vec3(glm::mix(from, to, along(std::min(i, lanes - 1)))));
                if (i < lanes) rays.active |= 1u << i;
            }
            const LaneMask seen = rays.active & ~geometry_.rays().occluded(rays);
            for (int i = 0; i < lanes; ++i)
                if (has_lane(seen, i)) lay(glm::mix(*from_px, *to_px, along(i)), deposit, discs);
        }
    }

    void lay(const Vec2& centre_px, const glm::vec3& deposit, std::vector<FilmDisc>& discs) const {
        const glm::vec3 passed = static_cast<float>(lens_.corner_share(centre_px)) * deposit;
        discs.push_back({centre_px, radius_px_, (1.0f - skirt_share) * passed});
        discs.push_back({centre_px, skirt_widths * radius_px_, skirt_share * passed});
    }

    Projection projection_;
    const Geometry& geometry_;
    const StarField& field_;
    Vec2 frame_px_;
    double radius_px_;
    double step_px_;
    LensLight lens_;
    double gain_;
    Vec3 forward_;
    double corner_rad_;
};

}  // namespace

StarExtinction star_extinction(double visibility_km, double elevation_m) {
    constexpr std::size_t blue = 2, visual = 5;  // bands about 450 and 540 nm
    static_assert(band_nm(blue) == 450.0 && band_nm(visual) == 540.0);
    const double magnitudes = 2.5 / std::log(10.0);  // of an optical depth of 1
    const AirOptics air = air_optics(visibility_km, elevation_m);
    const AirColumns columns = columns_to_space(air, 0.0, 1.0);
    const auto v_mag = magnitudes * static_cast<double>(optical_depth(air, visual, columns));
    const auto b_mag = magnitudes * static_cast<double>(optical_depth(air, blue, columns));
    return {v_mag, b_mag - v_mag};
}

StarField star_field(const Shoot& shoot, double after_s) {
    const Place& place = *shoot.place;
    const double unix_s = place.when.unix_s + after_s;
    const NightSky night = night_sky(shoot, unix_s);
    StarField field;
    field.horizon_from_icrs = horizon_from_icrs(place, unix_s);
    field.latitude_deg = place.latitude_deg;
    field.elevation_m = place.elevation_m;
    field.extinction = star_extinction(night.visibility_km, night.elevation_m);
    field.clear_share = 1.0 - night.cloud_share;
    return field;
}

double star_width_mm(const Camera& camera, double f_number) {
    return std::hypot(trail_width_mm(camera, f_number, 0.0, infinity_m), lens_spread_mm);
}

bool add_stars(const Camera& camera, const ExposureSettings& settings, const Geometry& geometry,
               const StarField& field, const TimeWindows& times, TrailFilm& film,
               const std::stop_token& stop) {
    const StarPainter painter(camera, settings, geometry, field, film.side());
    const std::vector<Legs> all = legs_of(field, times);
    DiscQueue queue(film, stop);
    std::vector<std::vector<FilmDisc>> discs(std::min(stars_at_once, field.stars.size()));
    for (std::size_t first = 0; first < field.stars.size(); first += stars_at_once) {
        const std::size_t count = std::min(stars_at_once, field.stars.size() - first);
        tbb::parallel_for(std::size_t{0}, count, [&](std::size_t i) {
            const BrightStar& star = field.stars[first + i];
            const Vec3 direction = icrs_direction(star);
            discs[i].clear();
            for (const Legs& legs : all) {
                if (stop.stop_requested()) return;
                if (painter.may_show(direction, legs))
                    painter.paint(star, direction, legs, discs[i]);
            }
        });
        if (stop.stop_requested()) return false;
        for (std::size_t i = 0; i < count; ++i)
            for (const FilmDisc& disc : discs[i])
                if (!queue.add(disc)) return false;
    }
    return queue.finish();
}

}  // namespace lampflight
