#include "tests/reference/oracle.h"

#include <tbb/parallel_for.h>

#include <algorithm>
#include <cmath>
#include <memory>
#include <optional>
#include <random>

#include "renderer/geometry/camera_rays.h"
#include "scene/basics/angle.h"
#include "scene/shoot/flown_flight.h"
#include "scene/shoot/lit_lamp.h"
#include "scene/shoot/presence.h"
#include "tests/reference/lens_gain.h"

namespace lampflight {
namespace {

/// A lamp at rest.
struct StillLamp {
    Vec3 position_m;
    Vec3 aim;
};

/// One still instant of a lamp and of those who stand about it.
struct Instant {
    StillLamp lamp;
    bool burns;
    std::size_t geometry;  ///< which of the geometries stands there
};

bool is_in(const std::optional<TimeWindows>& windows, double time_s) {
    if (!windows) return true;
    for (const TimeWindow& window : *windows)
        if (window.from_s <= time_s && time_s < window.to_s) return true;
    return false;
}

/// Whether a lamp burns at an instant, from what the scene says of it.
bool burns(const Lamp& lamp, double time_s) {
    if (!is_in(lamp.lit_s, time_s)) return false;
    if (!lamp.pulse.per_minute) return true;
    const double since_s = time_s - lamp.pulse.first_s;
    return since_s >= 0.0 && std::fmod(since_s, 60.0 / *lamp.pulse.per_minute) < *lamp.pulse.on_s;
}

/// What a flight's pen says of a lamp at an instant.
struct PenSays {
    bool lit = false;
    std::optional<Aim> aim{};  ///< instead of the lamp's own
};

/// A lamp as its flights' pens turn it, instant by instant.
class OracleLamp {
public:
    OracleLamp(const PlacedShoot& shoot, const Take& take, const LitLamp& lit)
        : shoot_(shoot),
          lit_(lit),
          targets_(aim_targets(shoot, lit)),
          flights_(flown_flights(shoot, take)),
          ways_(flown_ways(shoot, take, flights_)) {}

    bool burns_at(double time_s) const {
        return burns(*lit_.lamp, time_s) && (!lit_.flies() || pen_at(time_s).lit);
    }
    StillLamp at(double time_s) const {
        LitLamp aimed = lit_;
        aimed.aims.clear();
        if (const auto aim = pen_at(time_s).aim) aimed.aims.push_back({0.0, aim});
        return {aimed.position_m(time_s), aim_direction(aimed, targets_, time_s)};
    }

private:
    bool carried_by(const Flight& flight) const {
        return std::ranges::find(flight.carries, lit_.lamp->name) != flight.carries.end();
    }
    bool meant_by(const PenStretch& stretch) const {
        return !stretch.lamps || std::ranges::find(*stretch.lamps, lit_.lamp->name) !=
                                     stretch.lamps->end();
    }
    static bool is_under_way(const FlightPath& path, double time_s) {
        return time_s >= path.begins_s() && time_s < path.ends_s();
    }

    /// By the stretches of the path under the drone, and those that the scene speaks of; dark in no
    /// flight that carries the lamp, but for lit ways between two that do.
    PenSays pen_at(double time_s) const {
        for (const FlownFlight& flown : flights_) {
            const FlightPath& path = flown.path;
            if (!carried_by(*flown.flight) || !is_under_way(path, time_s)) continue;
            const double arc_m = path.flown_m(time_s);
            PenSays says{true};
            for (const PathStretch& stretch : path.stretches())
                if (arc_m >= stretch.from_m && arc_m <= stretch.to_m)
                    says = {stretch.lit, stretch.aim};
            const double share = (arc_m - path.shape_from_m()) / path.length_m();
            for (const PenStretch& stretch : shoot_.stretches) {
                if (stretch.flight != flown.flight->name || !meant_by(stretch)) continue;
                if (share < stretch.part[0] || share >= stretch.part[1]) continue;
                says.lit = says.lit && stretch.lit;
                if (stretch.aim) says.aim = stretch.aim;
            }
            return says;
        }
        for (const FlownFlight& way : ways_)
            if (way.flight->lit_between && carried_by(*way.flight) && carried_by(*way.from) &&
                is_under_way(way.path, time_s))
                return {true};
        return {};
    }

    const PlacedShoot& shoot_;
    const LitLamp& lit_;
    AimTargets targets_;
    std::vector<FlownFlight> flights_;
    std::vector<FlownFlight> ways_;
};

/// From the shutter's opening until it closes or the lamp's flight ends.
double span_s(const PlacedShoot& shoot, const Take& take, const LitLamp& lit) {
    const double shutter_s = settings_of(shoot, take).shutter_s;
    return lit.flies() ? std::min(shutter_s, lit.rides.back().path->ends_s()) : shutter_s;
}

/// The geometries of a take: one for each set of subjects that stand there at some instant.
class Geometries {
public:
    Geometries(const PlacedShoot& shoot, const Take& take)
        : shoot_(shoot), called_(present_subjects(shoot, take)) {}

    std::size_t at(double time_s) {
        std::vector<std::size_t> there;
        for (const std::size_t subject : called_)
            if (is_in(shoot_.subjects[subject].present_s, time_s)) there.push_back(subject);
        for (std::size_t i = 0; i < sets_.size(); ++i)
            if (sets_[i] == there) return i;
        sets_.push_back(there);
        geometries_.push_back(std::make_unique<Geometry>(shoot_, there));
        return sets_.size() - 1;
    }
    std::size_t count() const { return geometries_.size(); }
    const Geometry& geometry(std::size_t i) const { return *geometries_[i]; }

private:
    const PlacedShoot& shoot_;
    std::vector<std::size_t> called_;
    std::vector<std::vector<std::size_t>> sets_;
    std::vector<std::unique_ptr<Geometry>> geometries_;
};

/// Still instants of one lamp, evenly spread over its span.
std::vector<Instant> instants_of(const PlacedShoot& shoot, const Take& take, const LitLamp& lit,
                                 int count, Geometries& geometries) {
    const OracleLamp lamp(shoot, take, lit);
    std::vector<Instant> instants;
    for (int i = 0; i < count; ++i) {
        const double time_s = span_s(shoot, take, lit) * (i + 0.5) / count;
        instants.push_back({lamp.at(time_s), lamp.burns_at(time_s), geometries.at(time_s)});
    }
    return instants;
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
    return Vec3(surfaces.leaving_m(lane));
}

/// One film sample's turn among a lamp's instants.
struct Turn {
    const LitLamp& lit;
    double span_s;
    const std::vector<Instant>& instants;
    const std::vector<Vec2>& face;
    std::size_t first;
    std::size_t every;
};

/// Adds one lamp's light on sixteen surface points of a geometry to a row of film, before the lens
/// factor: of the instants at which that geometry stands.
void add_light(const Geometries& geometries, std::size_t geometry, const SurfacePacket& surfaces,
               const Turn& turn, double* luminance_s) {
    const LitLamp& lit = turn.lit;
    const Beam beam(*lit.lamp);
    const Rgb colour = lamp_colour(*lit.lamp);
    std::array<double, packet_size> sum{};
    RayPacket shadow;
    shadow.reach.lane.fill(0.9999f);
    std::size_t count = 0;
    for (std::size_t t = turn.first; t < turn.instants.size(); t += turn.every, ++count) {
        const Instant& instant = turn.instants[t];
        if (!instant.burns || instant.geometry != geometry) continue;
        std::array<double, packet_size> light_lx{};
        shadow.active = 0;
        for (int i = 0; i < packet_size; ++i) {
            if (!has_lane(surfaces.found, i)) continue;
            const auto lane = static_cast<std::size_t>(i);
            light_lx[lane] = illuminance_lx(beam, instant.lamp, Vec3(surfaces.position_m.at(i)),
                                            Vec3(surfaces.normal.at(i)));
            if (light_lx[lane] <= 0.0) continue;
            const Vec3 from_m = off_surface(surfaces, i);
            const Vec3 to_m =
                on_face(instant.lamp.position_m, from_m, lit.lamp->face_mm / 2000.0 * turn.face[t]);
            shadow.origin_m.set(i, glm::vec3(from_m));
            shadow.direction.set(i, glm::vec3(to_m - from_m));
            shadow.active |= 1u << i;
        }
        if (shadow.active == 0) continue;
        const LaneMask blocked = geometries.geometry(geometry).rays().occluded(shadow);
        for (int i = 0; i < packet_size; ++i)
            if (has_lane(shadow.active & ~blocked, i))
                sum[static_cast<std::size_t>(i)] += light_lx[static_cast<std::size_t>(i)];
    }
    const double each_s = turn.span_s * lit.flux_scale / static_cast<double>(count);
    for (int i = 0; i < packet_size; ++i)
        if (has_lane(surfaces.found, i))
            luminance_s[i] += sum[static_cast<std::size_t>(i)] * each_s *
                              luminance_reflected(surfaces, i, colour) / pi;
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

std::vector<OracleFilm> oracle_films(const PlacedShoot& shoot, const Take& take,
                                     const Effort& effort, int instants) {
    Geometries geometries(shoot, take);
    const Projection projection(shoot.camera);
    const std::vector<LitLamp> lit = lit_lamps(shoot, take);
    const glm::ivec2 pixels = shoot.camera.pixels;

    std::vector<OracleFilm> films;
    std::vector<std::vector<Instant>> still;
    const int all_instants = instants * effort.film_samples;
    for (const LitLamp& lamp : lit) {
        films.push_back({lamp.lamp->name, pixels.x, pixels.y,
                         std::vector<double>(static_cast<std::size_t>(pixels.x) *
                                             static_cast<std::size_t>(pixels.y))});
        // Each film sample has its own instants, between those of the others.
        still.push_back(instants_of(shoot, take, lamp, all_instants, geometries));
    }
    const std::vector<Vec2> face = disc_places(static_cast<std::size_t>(all_instants));

    const auto light_tile = [&](const CameraRays& camera_rays, std::size_t geometry,
                                const glm::ivec2& corner_px) {
        const auto view = std::make_unique<TileView>();
        camera_rays.see(corner_px, *view);
        for (std::size_t b = 0; b < tile_blocks; ++b) {
            const std::size_t samples = view->blocks[b].size();
            for (std::size_t k = 0; k < lit.size(); ++k) {
                std::array<double, packet_size> sum{};
                for (std::size_t j = 0; j < samples; ++j)
                    add_light(geometries, geometry, view->blocks[b][j],
                              {lit[k], span_s(shoot, take, lit[k]), still[k], face, j, samples},
                              sum.data());
                for (int i = 0; i < packet_size; ++i) {
                    const glm::ivec2 px = corner_px + place_in_tile(tile_pixel(b, i));
                    if (!camera_rays.in_film(px)) continue;
                    films[k].exposure_lxs[static_cast<std::size_t>(px.y * pixels.x + px.x)] +=
                        lens_gain(shoot, take, projection, Vec2(px) + 0.5) *
                        sum[static_cast<std::size_t>(i)] / static_cast<double>(samples);
                }
            }
        }
    };
    const glm::ivec2 tiles = (pixels + tile_side_px - 1) / tile_side_px;
    for (std::size_t s = 0; s < geometries.count(); ++s) {
        const CameraRays camera_rays(shoot.camera, geometries.geometry(s), effort);
        tbb::parallel_for(0, tiles.x * tiles.y, [&](int tile) {
            light_tile(camera_rays, s, tile_side_px * glm::ivec2(tile % tiles.x, tile / tiles.x));
        });
    }
    return films;
}

double oracle_one_bounce_lxs(const PlacedShoot& shoot, const Take& take, const Geometry& geometry,
                             const glm::ivec2& pixel, int film_samples, int directions) {
    const Projection projection(shoot.camera);
    const auto spread = static_cast<float>(pixel_pitch_mm(shoot.camera).x / shoot.camera.focal_mm);
    std::mt19937 random(static_cast<unsigned>(pixel.y * 7919 + pixel.x));
    std::uniform_real_distribution<double> even(0.0, 1.0);
    double luminance_s = 0.0;
    for (const LitLamp& lit : lit_lamps(shoot, take)) {
        const Beam beam(*lit.lamp);
        const Rgb colour = lamp_colour(*lit.lamp);
        const OracleLamp oracle_lamp(shoot, take, lit);
        for (int sample = 0; sample < film_samples; ++sample) {
            const Vec2 place(film_sample_place(sample, film_samples));
            const RayPacket ray =
                one_ray(shoot.camera.position_m, projection.direction(Vec2(pixel) + place), 1e9f);
            const SurfacePacket seen = geometry.surfaces(ray, geometry.rays().closest(ray), spread);
            if (!has_lane(seen.found, 0)) continue;
            const Vec3 from_m = off_surface(seen, 0);
            double sum = 0.0;
            for (int d = 0; d < directions; ++d) {
                const Vec3 direction = diffuse_direction(Vec3(seen.normal.at(0)), random);
                const RayPacket onwards = one_ray(from_m, direction, 1e9f);
                const SurfacePacket other =
                    geometry.surfaces(onwards, geometry.rays().closest(onwards), spread);
                if (!has_lane(other.found, 0)) continue;
                const double time_s = span_s(shoot, take, lit) * even(random);
                if (!oracle_lamp.burns_at(time_s)) continue;
                const StillLamp lamp = oracle_lamp.at(time_s);
                const double light_lx = illuminance_lx(beam, lamp, Vec3(other.position_m.at(0)),
                                                       Vec3(other.normal.at(0)));
                if (light_lx <= 0.0) continue;
                const Vec3 there_m = off_surface(other, 0);
                if (geometry.rays().occluded(one_ray(there_m, lamp.position_m - there_m, 0.9999f)))
                    continue;
                sum += light_lx * luminance(Rgb(other.reflectance.at(0)) *
                                            Rgb(seen.reflectance.at(0)) * colour);
            }
            luminance_s +=
                sum / directions * span_s(shoot, take, lit) * lit.flux_scale / pi / film_samples;
        }
    }
    return luminance_s * lens_gain(shoot, take, projection, Vec2(pixel) + 0.5);
}

}  // namespace lampflight
