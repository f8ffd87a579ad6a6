#include "renderer/trails/disc_trails.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include <tbb/parallel_for.h>

#include "renderer/sampling/effort.h"
#include "scene/basics/angle.h"
#include "scene/camera/exposure.h"
#include "scene/camera/lens_light.h"
#include "scene/shoot/take_moment.h"

namespace lampflight {
namespace {

constexpr double longest_leg_s = 120.0;  // half a degree: straight to a thousandth of that
constexpr int samples = 4;               // in each part of the film, evenly spread

/// Corners of a rectangle of the film's parts, the second not within.
struct PartBox {
    glm::ivec2 from{std::numeric_limits<int>::max()};
    glm::ivec2 to{std::numeric_limits<int>::min()};

    void add(const glm::ivec2& part) {
        from = glm::min(from, part);
        to = glm::max(to, part + 1);
    }
};

/// The body of a night as a disc has it, with that night's way of lighting it.
void move_to(SunMoonDisc& disc, const NightSky& night) {
    const SkyBody& body = disc.body == LightSource::sun ? night.sun : night.moon;
    disc.direction = glm::vec3(body.direction);
    disc.flattening = static_cast<float>(body.flattening);
    if (disc.body == LightSource::moon)
        disc.bright_limb = limb_towards(night.moon.direction, night.sun.direction);
    else
        disc.bright_limb = limb_towards(night.sun.direction, night.sun.direction);
}

/// Film parts that a leg's image can reach.
PartBox reach_of(const Projection& projection, const DiscLeg& leg, const glm::ivec2& parts,
                 int side) {
    constexpr int round = 32;
    PartBox box;
    const glm::dvec3 limb(leg.disc.bright_limb);
    for (const glm::dvec3 middle : {glm::dvec3(leg.disc.direction), glm::dvec3(leg.to)})
        for (int i = 0; i < round; ++i) {
            const double turn_rad = 2.0 * pi * i / round;
            const double radius = 1.02 * std::tan(static_cast<double>(leg.disc.radius_rad));
            const glm::dvec3 edge =
                middle + radius * (std::cos(turn_rad) * limb +
                                   std::sin(turn_rad) * glm::cross(middle, limb));
            const auto at_px = projection.film_px(projection.position_m() + edge);
            // Far outside the frame places may be too large for an integer.
            if (at_px)
                box.add(glm::ivec2(glm::clamp(*at_px * static_cast<double>(side), -1e6, 1e8)));
        }
    return {glm::max(box.from - 1, glm::ivec2(0)), glm::min(box.to + 1, parts)};
}

/// Light of one leg on rows of film parts.
class LegPainter {
public:
    LegPainter(const Camera& camera, const ExposureSettings& settings, const Geometry& geometry,
               const DiscLeg& leg, int side)
        : projection_(camera), lens_(camera), geometry_(geometry), leg_(leg), side_(side) {
        const SunMoonDisc& disc = leg.disc;
        const double radius = std::tan(static_cast<double>(disc.radius_rad));
        const auto lit_sr =
            static_cast<float>(pi * radius * radius * static_cast<double>(disc.lit) *
                               static_cast<double>(disc.flattening));
        const auto open_s =
            static_cast<float>(focal_plane_exposure_lxs(1.0, leg.lasts_s, settings.f_number));
        luminance_s_ = open_s / lit_sr * disc.normal_lx;
        end_ = place_on_disc(disc, leg.to);
    }

    /// Exposures in lux seconds of parts from `first_x` on.
    void paint(int first_x, int y, std::vector<glm::vec3>& row) const {
        for (std::size_t i = 0; i < row.size(); i += packet_size / samples)
            paint_packet(first_x + static_cast<int>(i), y,
                         std::span(row).subspan(
                             i, std::min<std::size_t>(packet_size / samples, row.size() - i)));
    }

private:
    void paint_packet(int first_x, int y, std::span<glm::vec3> parts) const {
        std::array<float, packet_size> share{};
        RayPacket rays;
        rays.reach.lane.fill(std::numeric_limits<float>::infinity());
        rays.active = 0;
        for (int i = 0; i < static_cast<int>(parts.size()) * samples; ++i) {
            const glm::vec2 within = film_sample_place(i % samples, samples);
            const Vec2 at_px =
                (Vec2(first_x + i / samples, y) + Vec2(within)) / static_cast<double>(side_);
            const glm::vec3 direction(projection_.direction(at_px));
            if (direction.z <= 0.0f) continue;
            const glm::dvec2 start = place_on_disc(leg_.disc, direction);
            if (!std::isfinite(start.x)) continue;
            const auto lit = static_cast<float>(
                lit_share(static_cast<double>(leg_.disc.lit), start, start - end_));
            if (lit <= 0.0f) continue;
            share[static_cast<std::size_t>(i)] = lit * static_cast<float>(lens_.factor(at_px));
            rays.origin_m.set(i, glm::vec3(projection_.position_m()));
            rays.direction.set(i, direction);
            rays.active |= 1u << i;
        }
        if (rays.active == 0) return;
        const LaneMask seen = rays.active & ~geometry_.rays().occluded(rays);
        for (int i = 0; i < packet_size; ++i)
            if (has_lane(seen, i))
                parts[static_cast<std::size_t>(i / samples)] +=
                    share[static_cast<std::size_t>(i)] / samples * luminance_s_;
    }

    Projection projection_;
    LensLight lens_;
    const Geometry& geometry_;
    const DiscLeg& leg_;
    int side_;
    glm::vec3 luminance_s_{0.0f};  ///< over the square of the f-number
    glm::dvec2 end_{0.0};          ///< where the middle goes, in radii
};

}  // namespace

std::vector<DiscLeg> disc_legs(const Shoot& shoot, const SunMoonDisc& disc, double after_s,
                               const TimeWindows& times) {
    const double opens_s = shoot.place->when.unix_s + after_s;
    std::vector<DiscLeg> legs;
    for (const TimeWindow& window : times) {
        const double open_s = window.to_s - window.from_s;
        const int count = static_cast<int>(std::max(1.0, std::ceil(open_s / longest_leg_s)));
        const double lasts_s = open_s / count;
        for (int i = 0; i < count; ++i) {
            const double from_s = opens_s + window.from_s + lasts_s * i;
            DiscLeg leg{disc, {}, lasts_s};
            move_to(leg.disc, night_sky(shoot, from_s + lasts_s));
            leg.to = leg.disc.direction;
            move_to(leg.disc, night_sky(shoot, from_s));
            legs.push_back(leg);
        }
    }
    return legs;
}

bool add_disc_trail(const Camera& camera, const ExposureSettings& settings,
                    const Geometry& geometry, const std::vector<DiscLeg>& legs, TrailFilm& film,
                    const std::stop_token& stop) {
    const Projection projection(camera);
    const int side = film.side();
    const glm::ivec2 parts = side * camera.pixels;
    for (const DiscLeg& leg : legs) {
        const PartBox box = reach_of(projection, leg, parts, side);
        if (box.from.x >= box.to.x || box.from.y >= box.to.y) continue;
        const LegPainter painter(camera, settings, geometry, leg, side);
        // Rows of pixels: threads may be at different ones.
        tbb::parallel_for(box.from.y / side, (box.to.y + side - 1) / side, [&](int pixel_y) {
            std::vector<glm::vec3> row;
            const int end = std::min((pixel_y + 1) * side, box.to.y);
            for (int y = std::max(pixel_y * side, box.from.y); y < end; ++y) {
                if (stop.stop_requested()) return;
                row.assign(static_cast<std::size_t>(box.to.x - box.from.x), glm::vec3(0.0f));
                painter.paint(box.from.x, y, row);
                film.add_row(box.from.x, y, row);
            }
        });
        if (stop.stop_requested()) return false;
    }
    return true;
}

}  // namespace lampflight
