#include "tests/reference/oracle.h"

#include <tbb/blocked_range.h>
#include <tbb/parallel_for.h>

#include <cmath>
#include <limits>
#include <random>

#include "renderer/effort.h"
#include "scene/angle.h"

namespace lampflight {
namespace {

/// A lamp at rest.
struct StillLamp {
    Vec3 position_m;
    Vec3 aim;
};

/// Still instants of one lamp, evenly spread over the time it is lit.
std::vector<StillLamp> still_lamps(const Shoot& shoot, const LitLamp& lit, int instants) {
    std::vector<StillLamp> still;
    for (int i = 0; i < instants; ++i) {
        const double time_s = lit.lit_s() * (i + 0.5) / instants;
        still.push_back({lit.position_m(time_s), aim_direction(shoot, lit, time_s)});
    }
    return still;
}

/// Illuminance at a point with a normal, in lux, nothing in between.
double illuminance_lx(const Beam& beam, const StillLamp& lamp, const Vec3& position_m,
                      const Vec3& normal) {
    const Vec3 from_lamp = position_m - lamp.position_m;
    const double distance_m = glm::length(from_lamp);
    const Vec3 ray = from_lamp / distance_m;
    const double cos_incidence = -glm::dot(ray, normal);
    if (cos_incidence <= 0.0) return 0.0;
    return beam.intensity_cd(glm::dot(ray, lamp.aim)) * cos_incidence / (distance_m * distance_m);
}

/// Digits of a number mirrored at the point: van der Corput's sequence.
double mirrored_digits(std::size_t number, std::size_t base) {
    double place = 0.0;
    double digit = 1.0;
    for (; number > 0; number /= base) {
        digit /= static_cast<double>(base);
        place += digit * static_cast<double>(number % base);
    }
    return place;
}

/// Places on a disc of radius 1, evenly spread, one an instant.
std::vector<Vec2> disc_places(std::size_t count) {
    std::vector<Vec2> places;
    for (std::size_t i = 0; i < count; ++i) {
        const double radius = std::sqrt(mirrored_digits(i, 2));
        const double angle_rad = 2.0 * pi * mirrored_digits(i, 3);
        places.push_back(radius * Vec2(std::cos(angle_rad), std::sin(angle_rad)));
    }
    return places;
}

/// A place on the lamp's face, a disc that is turned towards the point.
Vec3 on_face(const Vec3& lamp_m, const Vec3& point_m, const Vec2& place_m) {
    const Vec3 towards = glm::normalize(point_m - lamp_m);
    const Vec3 any = std::abs(towards.z) < 0.9 ? Vec3(0, 0, 1) : Vec3(1, 0, 0);
    const Vec3 right = glm::normalize(glm::cross(any, towards));
    return lamp_m + place_m.x * right + place_m.y * glm::cross(towards, right);
}

double luminance_reflected(const SurfacePacket& surfaces, int lane, const Rgb& colour) {
    return luminance(Rgb(surfaces.reflectance.at(lane)) * colour);
}

Vec3 off_surface(const SurfacePacket& surfaces, int lane) {
    const glm::vec3 position_m = surfaces.position_m.at(lane);
    return Vec3(position_m) +
           static_cast<double>(clearance_m(position_m)) * Vec3(surfaces.face_normal.at(lane));
}

/// Sixteen pixels of a row at one place within them.
RayPacket lens_rays(const Projection& projection, const Camera& camera, int first_x, int y,
                    const Vec2& place) {
    RayPacket rays;
    rays.reach.lane.fill(std::numeric_limits<float>::infinity());
    for (int i = 0; i < packet_size && first_x + i < camera.pixels.x; ++i) {
        rays.origin_m.set(i, glm::vec3(camera.position_m));
        rays.direction.set(i,
                           glm::vec3(projection.direction({first_x + i + place.x, y + place.y})));
        rays.active |= 1u << i;
    }
    return rays;
}

/// Adds one lamp's light on sixteen surface points to a row of film, before the lens factor.
void add_light(const Stage& stage, const SurfacePacket& surfaces, const LitLamp& lit,
               const std::vector<StillLamp>& instants, const std::vector<Vec2>& face,
               std::size_t first_instant, std::size_t every, double* luminance_s) {
    const Beam beam(*lit.lamp);
    const Rgb colour = lamp_colour(*lit.lamp);
    std::array<double, packet_size> sum{};
    RayPacket shadow;
    shadow.reach.lane.fill(0.9999f);
    std::size_t count = 0;
    for (std::size_t t = first_instant; t < instants.size(); t += every, ++count) {
        std::array<double, packet_size> light_lx{};
        shadow.active = 0;
        for (int i = 0; i < packet_size; ++i) {
            if (!has_lane(surfaces.found, i)) continue;
            const auto lane = static_cast<std::size_t>(i);
            light_lx[lane] = illuminance_lx(beam, instants[t], Vec3(surfaces.position_m.at(i)),
                                            Vec3(surfaces.normal.at(i)));
            if (light_lx[lane] <= 0.0) continue;
            const Vec3 from_m = off_surface(surfaces, i);
            const Vec3 to_m =
                on_face(instants[t].position_m, from_m, lit.lamp->face_mm / 2000.0 * face[t]);
            shadow.origin_m.set(i, glm::vec3(from_m));
            shadow.direction.set(i, glm::vec3(to_m - from_m));
            shadow.active |= 1u << i;
        }
        if (shadow.active == 0) continue;
        const LaneMask blocked = stage.rays().occluded(shadow);
        for (int i = 0; i < packet_size; ++i)
            if (has_lane(shadow.active & ~blocked, i))
                sum[static_cast<std::size_t>(i)] += light_lx[static_cast<std::size_t>(i)];
    }
    const double each_s = lit.lit_s() * lit.flux_scale / static_cast<double>(count);
    for (int i = 0; i < packet_size; ++i)
        if (has_lane(surfaces.found, i))
            luminance_s[i] += sum[static_cast<std::size_t>(i)] * each_s *
                              luminance_reflected(surfaces, i, colour) / pi;
}

/// From luminance over time (cd s/m2) to exposure: q / N^2 with q by ISO 12232.
double lens_gain(const Shoot& shoot, const Take& take, const Projection& projection, int x, int y) {
    const double f_number = settings_of(shoot, take).f_number;
    const double cos_axis = projection.cos_off_axis({x + 0.5, y + 0.5});
    return pi / 4.0 * shoot.camera.lens_transmission * 0.98 * std::pow(cos_axis, 4) /
           (f_number * f_number);
}

/// A unit direction about a normal, cosine-weighted: a point of the unit sphere set on its tip.
Vec3 diffuse_direction(const Vec3& normal, std::mt19937& random) {
    std::normal_distribution<double> bell;
    const Vec3 on_sphere = glm::normalize(Vec3(bell(random), bell(random), bell(random)));
    return glm::normalize(normal + on_sphere * (1.0 - 1e-9));
}

RayPacket one_ray(const Vec3& from_m, const Vec3& direction, float reach) {
    RayPacket ray;
    ray.reach.lane.fill(reach);
    ray.origin_m.set(0, glm::vec3(from_m));
    ray.direction.set(0, glm::vec3(direction));
    ray.active = 1;
    return ray;
}

}  // namespace

std::vector<OracleFilm> oracle_films(const Shoot& shoot, const Take& take, int film_samples,
                                     int instants) {
    const Stage stage(shoot, present_subjects(shoot, take));
    const Projection projection(shoot.camera);
    const std::vector<LitLamp> lit = lit_lamps(shoot, take);
    const glm::ivec2 pixels = shoot.camera.pixels;
    const auto spread = static_cast<float>(pixel_pitch_mm(shoot.camera).x / shoot.camera.focal_mm);

    std::vector<OracleFilm> films;
    std::vector<std::vector<StillLamp>> still;
    for (const LitLamp& lamp : lit) {
        films.push_back({lamp.lamp->name, pixels.x, pixels.y,
                         std::vector<double>(static_cast<std::size_t>(pixels.x) *
                                             static_cast<std::size_t>(pixels.y))});
        // Each film sample has its own instants, between those of the others.
        still.push_back(still_lamps(shoot, lamp, instants * film_samples));
    }
    const std::vector<Vec2> face =
        disc_places(static_cast<std::size_t>(instants) * static_cast<std::size_t>(film_samples));
    tbb::parallel_for(tbb::blocked_range<int>(0, pixels.y, 1), [&](const auto& rows) {
        for (int y = rows.begin(); y != rows.end(); ++y)
            for (int x = 0; x < pixels.x; x += packet_size) {
                std::vector<std::array<double, packet_size>> sum(lit.size());
                for (int sample = 0; sample < film_samples; ++sample) {
                    const RayPacket rays = lens_rays(projection, shoot.camera, x, y,
                                                     Vec2(film_sample_place(sample, film_samples)));
                    const SurfacePacket surfaces =
                        stage.surfaces(rays, stage.rays().closest(rays), spread);
                    for (std::size_t k = 0; k < lit.size(); ++k)
                        add_light(stage, surfaces, lit[k], still[k], face,
                                  static_cast<std::size_t>(sample),
                                  static_cast<std::size_t>(film_samples), sum[k].data());
                }
                for (std::size_t k = 0; k < lit.size(); ++k)
                    for (int i = 0; i < packet_size && x + i < pixels.x; ++i)
                        films[k].exposure_lxs[static_cast<std::size_t>(y * pixels.x + x + i)] =
                            lens_gain(shoot, take, projection, x + i, y) *
                            sum[k][static_cast<std::size_t>(i)] / film_samples;
            }
    });
    return films;
}

double oracle_one_bounce_lxs(const Shoot& shoot, const Take& take, const Stage& stage,
                             const glm::ivec2& pixel, int film_samples, int directions) {
    const Projection projection(shoot.camera);
    const auto spread = static_cast<float>(pixel_pitch_mm(shoot.camera).x / shoot.camera.focal_mm);
    std::mt19937 random(static_cast<unsigned>(pixel.y * 7919 + pixel.x));
    std::uniform_real_distribution<double> even(0.0, 1.0);
    double luminance_s = 0.0;
    for (const LitLamp& lit : lit_lamps(shoot, take)) {
        const Beam beam(*lit.lamp);
        const Rgb colour = lamp_colour(*lit.lamp);
        for (int sample = 0; sample < film_samples; ++sample) {
            const Vec2 place(film_sample_place(sample, film_samples));
            const RayPacket ray =
                one_ray(shoot.camera.position_m, projection.direction(Vec2(pixel) + place), 1e9f);
            const SurfacePacket seen = stage.surfaces(ray, stage.rays().closest(ray), spread);
            if (!has_lane(seen.found, 0)) continue;
            const Vec3 from_m = off_surface(seen, 0);
            double sum = 0.0;
            for (int d = 0; d < directions; ++d) {
                const Vec3 direction = diffuse_direction(Vec3(seen.normal.at(0)), random);
                const RayPacket onwards = one_ray(from_m, direction, 1e9f);
                const SurfacePacket other =
                    stage.surfaces(onwards, stage.rays().closest(onwards), spread);
                if (!has_lane(other.found, 0)) continue;
                const double time_s = lit.lit_s() * even(random);
                const StillLamp lamp{lit.position_m(time_s), aim_direction(shoot, lit, time_s)};
                const double light_lx = illuminance_lx(beam, lamp, Vec3(other.position_m.at(0)),
                                                       Vec3(other.normal.at(0)));
                if (light_lx <= 0.0) continue;
                const Vec3 there_m = off_surface(other, 0);
                if (stage.rays().occluded(one_ray(there_m, lamp.position_m - there_m, 0.9999f)))
                    continue;
                sum += light_lx * luminance(Rgb(other.reflectance.at(0)) *
                                            Rgb(seen.reflectance.at(0)) * colour);
            }
            luminance_s += sum / directions * lit.lit_s() * lit.flux_scale / pi / film_samples;
        }
    }
    return luminance_s * lens_gain(shoot, take, projection, pixel.x, pixel.y);
}

}  // namespace lampflight
