#include "tests/reference/path_tracer.h"

#include <tbb/parallel_for.h>

#include <algorithm>
#include <cmath>
#include <random>
#include <span>
#include <stdexcept>

#include "scene/basics/angle.h"
#include "scene/camera/camera.h"
#include "scene/lamps/lamp.h"
#include "scene/shoot/lit_lamp.h"

namespace lampflight {
namespace {

constexpr int most_bounces = 3;
constexpr std::size_t batch_packets = 16;  // each of the four quarters of a block four times
constexpr std::size_t most_dimensions = 2 + 2 + 2 + 2 * (2 * most_bounces - 1);

/// Points evenly spread over a cube: the additive recurrence whose steps are powers of 1 / g, where
/// g^(d + 1) = g + 1 (Roberts 2018, from memory), moved as a whole by a shift (Cranley & Patterson
/// 1976), which leaves every point evenly distributed by itself.
class ShiftedPoints {
public:
    ShiftedPoints(std::size_t dimensions, std::mt19937_64& random) : dimensions_(dimensions) {
        double g = 2.0;
        for (int i = 0; i < 60; ++i)
            g = std::pow(1.0 + g, 1.0 / (static_cast<double>(dimensions) + 1.0));
        std::uniform_real_distribution<double> even(0.0, 1.0);
        double step = 1.0;
        for (std::size_t d = 0; d < dimensions; ++d) {
            step /= g;
            step_[d] = step;
            shift_[d] = even(random);
        }
    }

    double at(std::size_t point, std::size_t dimension) const {
        const double place = shift_[dimension] + static_cast<double>(point) * step_[dimension];
        return place - std::floor(place);
    }
    Vec2 pair(std::size_t point, std::size_t dimension) const {
        return {at(point, dimension), at(point, dimension + 1)};
    }
    std::size_t dimensions() const { return dimensions_; }

private:
    std::size_t dimensions_;
    std::array<double, most_dimensions> step_{}, shift_{};
};

Vec3 about_axis(const Vec3& axis, double cosine, double turn) {
    const Vec3 any = std::abs(axis.z) < 0.9 ? Vec3(0, 0, 1) : Vec3(1, 0, 0);
    const Vec3 right = glm::normalize(glm::cross(any, axis));
    const Vec3 up = glm::cross(axis, right);
    const double sine = std::sqrt(std::max(0.0, 1.0 - cosine * cosine));
    const double angle_rad = 2.0 * pi * turn;
    return cosine * axis + sine * (std::cos(angle_rad) * right + std::sin(angle_rad) * up);
}

/// The lamp, at rest.
struct Source {
    Beam beam;
    Vec3 position_m;
    Vec3 aim;
    double face_radius_m;
    double lit_s;
    double flux_lm;
    double lobe_share;  ///< of the flux
    Rgb colour;

    Source(const PlacedShoot& shoot, const LitLamp& lit)
        : beam(*lit.lamp),
          position_m(lit.position_m(0.0)),
          aim(aim_direction(lit, aim_target_m(shoot, *lit.lamp), 0.0)),
          face_radius_m(lit.lamp->face_mm / 2000.0),
          lit_s(lit.lit_s() * lit.flux_scale),
          colour(lamp_colour(*lit.lamp)) {
        const double lobe_lm = 2.0 * pi * beam.peak_cd() / (beam.exponent() + 1.0);
        flux_lm = lobe_lm + 4.0 * pi * beam.even_cd();
        lobe_share = lobe_lm / flux_lm;
    }

    double intensity_cd(const Vec3& direction) const {
        return beam.intensity_cd(glm::dot(direction, aim));
    }

    /// A direction drawn by the intensity.
    Vec3 direction(const Vec2& place) const {
        if (place.x < lobe_share)
            return about_axis(aim, std::pow(place.x / lobe_share, 1.0 / (beam.exponent() + 1.0)),
                              place.y);
        return about_axis(aim, 1.0 - 2.0 * (place.x - lobe_share) / (1.0 - lobe_share), place.y);
    }

    /// A place on its face, a disc that is turned towards the point.
    Vec3 on_face(const Vec3& point_m, const Vec2& place) const {
        const Vec3 towards = glm::normalize(point_m - position_m);
        return position_m + face_radius_m * std::sqrt(place.x) * about_axis(towards, 0.0, place.y);
    }
};

struct Vertex {
    Vec3 position_m;
    Vec3 normal;
    Vec3 face_normal;
    Rgb reflectance;
};

Vertex vertex_of(const SurfacePacket& surfaces, int lane) {
    return {Vec3(surfaces.position_m.at(lane)), Vec3(surfaces.normal.at(lane)),
            Vec3(surfaces.face_normal.at(lane)), Rgb(surfaces.reflectance.at(lane))};
}

Vec3 off_surface(const Vertex& vertex) {
    return vertex.position_m +
           static_cast<double>(ray_offset_m(glm::vec3(vertex.position_m))) * vertex.face_normal;
}

/// Illuminance of the path's last vertex by this path alone, in lux per m2 of each vertex before
/// it, over the sum of the densities with which its ways of being drawn find it; nothing in
/// between. `path` goes from the lamp to the surface that the lens sees. Light arrives by the
/// cosine to the normal and leaves from an area by the cosine to the face.
Rgb share_of_path(const Source& lamp, std::span<const Vertex* const> path) {
    const std::size_t between = path.size() - 1;
    std::array<double, most_bounces> from_lamp{}, from_lens{};  // densities by area
    Rgb light = lamp.colour;
    Vec3 before_m = lamp.position_m;
    for (std::size_t i = 0; i < path.size(); ++i) {
        const Vertex& to = *path[i];
        const Vec3 way_m = to.position_m - before_m;
        const double square_m2 = glm::dot(way_m, way_m);
        const Vec3 ray = way_m / std::sqrt(square_m2);
        const double arriving = -glm::dot(ray, to.normal);
        const double onto_face = -glm::dot(ray, to.face_normal);
        if (!(arriving > 0.0) || onto_face <= 0.0) return Rgb(0.0);
        if (i == 0) {
            const double candela = lamp.intensity_cd(ray);
            light *= candela * arriving / square_m2;
            if (between > 0) from_lamp[0] = candela / lamp.flux_lm * onto_face / square_m2;
        } else {
            const Vertex& from = *path[i - 1];
            const double leaving = glm::dot(ray, from.face_normal);
            if (leaving <= 0.0) return Rgb(0.0);
            light *= from.reflectance * (arriving * leaving / (pi * square_m2));
            from_lens[i - 1] = arriving * leaving / (pi * square_m2);
            if (i < between)
                from_lamp[i] =
                    std::max(0.0, glm::dot(ray, from.normal)) * onto_face / (pi * square_m2);
        }
        before_m = to.position_m;
    }
    double densities = 0.0;
    for (std::size_t by_lamp = 0; by_lamp <= between; ++by_lamp) {
        double density = 1.0;
        for (std::size_t i = 0; i < between; ++i)
            density *= i < by_lamp ? from_lamp[i] : from_lens[i];
        densities += density;
    }
    return densities > 0.0 ? light / densities : Rgb(0.0);
}

/// From luminance over time (cd s/m2) to exposure: q / N^2 with q by ISO 12232.
double lens_gain(const PlacedShoot& shoot, const Take& take, const Projection& projection,
                 const Vec2& film_px) {
    const double f_number = settings_of(shoot, take).f_number;
    return pi / 4.0 * shoot.camera.lens.transmission * 0.98 *
           std::pow(projection.cos_off_axis(film_px), 4) / (f_number * f_number);
}

RayPacket no_rays(float reach) {
    RayPacket rays{};
    rays.reach.lane.fill(reach);
    return rays;
}

void set_ray(RayPacket& rays, int lane, const Vec3& from_m, const Vec3& direction) {
    rays.origin_m.set(lane, glm::vec3(from_m));
    rays.direction.set(lane, glm::vec3(direction));
    rays.active |= 1u << lane;
}

constexpr float far_m = 1e9f;
constexpr float short_of_end = 0.9999f;

/// Luminances of sixteen pixels, by way of light.
struct PacketLight {
    std::array<double, packet_size> direct{}, bounced{};
};

class Tracer {
public:
    Tracer(const PlacedShoot& shoot, const Take& take, const LitLamp& lit, const Geometry& geometry,
           int bounces)
        : shoot_(shoot),
          take_(take),
          lamp_(shoot, lit),
          geometry_(geometry),
          projection_(shoot.camera),
          bounces_(static_cast<std::size_t>(bounces)),
          spread_(static_cast<float>(pixel_pitch_mm(shoot.camera).x / shoot.camera.focal_mm)) {}

    TracedBlock block(const glm::ivec2& corner_px, const PathTracing& settings) const {
        std::mt19937_64 random(static_cast<std::uint64_t>(corner_px.y) << 32 |
                               static_cast<std::uint64_t>(corner_px.x));
        const TracedBlock first = batches(corner_px, settings.first_batches, random);
        const double relative = first.error_lxs / std::max(first.bounced_lxs, 1e-300);
        const double wanted =
            settings.first_batches * std::pow(relative / settings.wanted_error, 2);
        return batches(
            corner_px,
            static_cast<int>(std::clamp(std::ceil(wanted), double(settings.first_batches),
                                        double(settings.most_batches))),
            random);
    }

private:
    /// Vertices of subpaths, sixteen side by side.
    using Subpaths = std::array<std::array<Vertex, packet_size>, most_bounces>;
    using Found = std::array<LaneMask, most_bounces>;

    TracedBlock batches(const glm::ivec2& corner_px, int count, std::mt19937_64& random) const {
        TracedBlock result;
        std::vector<double> means;
        for (int batch = 0; batch < count; ++batch) {
            const ShiftedPoints points(2 + 2 + 2 + 2 * (2 * bounces_ - 1), random);
            double bounced = 0.0;
            for (std::size_t p = 0; p < batch_packets; ++p) {
                const std::size_t quarter = p % (film_block_pixels / packet_size);
                PacketLight light;
                trace(corner_px, quarter, p, points, light);
                for (std::size_t i = 0; i < packet_size; ++i) {
                    result.direct_lxs += light.direct[i];
                    bounced += light.bounced[i];
                    result.pixel_lxs[quarter * packet_size + i] +=
                        light.direct[i] + light.bounced[i];
                }
            }
            means.push_back(bounced / (batch_packets * packet_size));
        }
        const double batches_done = static_cast<double>(count);
        result.direct_lxs /= batches_done * batch_packets * packet_size;
        for (double& pixel : result.pixel_lxs)
            pixel /= batches_done * batch_packets * packet_size / film_block_pixels;
        for (const double mean : means) result.bounced_lxs += mean / batches_done;
        double squares = 0.0;
        for (const double mean : means) squares += std::pow(mean - result.bounced_lxs, 2);
        result.error_lxs = std::sqrt(squares / (batches_done * std::max(1.0, batches_done - 1.0)));
        return result;
    }

    /// One path of each kind for each pixel of a quarter of a block, two rows of eight.
    void trace(const glm::ivec2& corner_px, std::size_t quarter, std::size_t packet,
               const ShiftedPoints& points, PacketLight& light) const {
        std::array<Vec2, packet_size> film_px;
        RayPacket rays = no_rays(far_m);
        for (int i = 0; i < packet_size; ++i) {
            const auto lane = static_cast<std::size_t>(i);
            const auto pixel = static_cast<int>(quarter * packet_size + lane);
            const Vec2 place = points.pair(packet * packet_size + lane, 0);
            film_px[lane] =
                Vec2(corner_px + glm::ivec2(pixel % film_block_side, pixel / film_block_side)) +
                place;
            set_ray(rays, i, shoot_.camera.position_m, projection_.direction(film_px[lane]));
        }
        const SurfacePacket seen =
            geometry_.surfaces(rays, geometry_.rays().closest(rays), spread_);
        if (seen.found == 0) return;
        std::array<Vertex, packet_size> receivers;
        for (int i = 0; i < packet_size; ++i)
            if (has_lane(seen.found, i))
                receivers[static_cast<std::size_t>(i)] = vertex_of(seen, i);
        const std::size_t first = packet * packet_size;
        add_direct(receivers, seen.found, points, first, light.direct);
        add_bounced(receivers, seen.found, points, first, light.bounced);
        for (std::size_t i = 0; i < packet_size; ++i) {
            const double gain = lamp_.lit_s / pi *
                                lens_gain(shoot_, take_, projection_, glm::floor(film_px[i]) + 0.5);
            light.direct[i] *= gain;
            light.bounced[i] *= gain;
        }
    }

    void add_direct(const std::array<Vertex, packet_size>& receivers, LaneMask found,
                    const ShiftedPoints& points, std::size_t first,
                    std::array<double, packet_size>& luminance_pi) const {
        RayPacket shadow = no_rays(short_of_end);
        std::array<double, packet_size> value{};
        for (int i = 0; i < packet_size; ++i) {
            if (!has_lane(found, i)) continue;
            const auto lane = static_cast<std::size_t>(i);
            const Vertex* const path[] = {&receivers[lane]};
            value[lane] = luminance(share_of_path(lamp_, path) * receivers[lane].reflectance);
            if (value[lane] <= 0.0) continue;
            const Vec3 from_m = off_surface(receivers[lane]);
            set_ray(shadow, i, from_m,
                    lamp_.on_face(from_m, points.pair(first + lane, 4)) - from_m);
        }
        add_unshadowed(shadow, value, luminance_pi);
    }

    void add_bounced(const std::array<Vertex, packet_size>& receivers, LaneMask found,
                     const ShiftedPoints& points, std::size_t first,
                     std::array<double, packet_size>& luminance_pi) const {
        Subpaths from_lamp, from_lens;
        Found lamp_found{}, lens_found{};
        RayPacket rays = no_rays(far_m);
        for (int i = 0; i < packet_size; ++i)
            if (has_lane(found, i))
                set_ray(rays, i, lamp_.position_m,
                        lamp_.direction(points.pair(first + static_cast<std::size_t>(i), 2)));
        std::size_t dimension = 6;
        for (std::size_t k = 0; k < bounces_; ++k) {
            lens_found[k] =
                go_on(k == 0 ? receivers : from_lens[k - 1], k == 0 ? found : lens_found[k - 1],
                      points, first, dimension, from_lens[k]);
            dimension += 2;
        }
        lamp_found[0] = arrive(rays, from_lamp[0]);
        for (std::size_t k = 1; k < bounces_; ++k) {
            lamp_found[k] =
                go_on(from_lamp[k - 1], lamp_found[k - 1], points, first, dimension, from_lamp[k]);
            dimension += 2;
        }
        for (std::size_t between = 1; between <= bounces_; ++between)
            for (std::size_t by_lamp = 0; by_lamp <= between; ++by_lamp)
                join(receivers, from_lamp, by_lamp,
                     by_lamp > 0 ? found & lamp_found[by_lamp - 1] : found, from_lens,
                     between - by_lamp,
                     between > by_lamp ? lens_found[between - by_lamp - 1] : found, luminance_pi);
    }

    /// Adds paths of so many vertices from the lamp's subpath and so many from the lens's.
    void join(const std::array<Vertex, packet_size>& receivers, const Subpaths& from_lamp,
              std::size_t by_lamp, LaneMask lamp_found, const Subpaths& from_lens,
              std::size_t by_lens, LaneMask lens_found,
              std::array<double, packet_size>& luminance_pi) const {
        RayPacket shadow = no_rays(short_of_end);
        std::array<double, packet_size> value{};
        for (int i = 0; i < packet_size; ++i) {
            if (!has_lane(lamp_found & lens_found, i)) continue;
            const auto lane = static_cast<std::size_t>(i);
            std::array<const Vertex*, most_bounces + 1> path{};
            std::size_t length = 0;
            for (std::size_t k = 0; k < by_lamp; ++k) path[length++] = &from_lamp[k][lane];
            for (std::size_t k = by_lens; k > 0; --k) path[length++] = &from_lens[k - 1][lane];
            path[length++] = &receivers[lane];
            value[lane] = luminance(share_of_path(lamp_, {path.data(), length}) *
                                    receivers[lane].reflectance);
            if (value[lane] <= 0.0) continue;
            const Vec3 from_m = off_surface(*path[by_lamp]);
            const Vec3 to_m = by_lamp > 0 ? off_surface(*path[by_lamp - 1]) : lamp_.position_m;
            set_ray(shadow, i, from_m, to_m - from_m);
        }
        add_unshadowed(shadow, value, luminance_pi);
    }

    void add_unshadowed(const RayPacket& shadow, const std::array<double, packet_size>& value,
                        std::array<double, packet_size>& sum) const {
        if (shadow.active == 0) return;
        const LaneMask lit = shadow.active & ~geometry_.rays().occluded(shadow);
        for (int i = 0; i < packet_size; ++i)
            if (has_lane(lit, i))
                sum[static_cast<std::size_t>(i)] += value[static_cast<std::size_t>(i)];
    }

    /// The next vertices of subpaths, by the cosine to the normal.
    LaneMask go_on(const std::array<Vertex, packet_size>& from, LaneMask found,
                   const ShiftedPoints& points, std::size_t first, std::size_t dimension,
                   std::array<Vertex, packet_size>& next) const {
        RayPacket rays = no_rays(far_m);
        for (int i = 0; i < packet_size; ++i) {
            if (!has_lane(found, i)) continue;
            const auto lane = static_cast<std::size_t>(i);
            const Vec2 place = points.pair(first + lane, dimension);
            const Vec3 direction = about_axis(from[lane].normal, std::sqrt(place.x), place.y);
            if (glm::dot(direction, from[lane].face_normal) > 0.0)
                set_ray(rays, i, off_surface(from[lane]), direction);
        }
        return arrive(rays, next);
    }

    LaneMask arrive(const RayPacket& rays, std::array<Vertex, packet_size>& vertices) const {
        if (rays.active == 0) return 0;
        // Without tint, as if each ray stood for a wide patch.
        const SurfacePacket surfaces =
            geometry_.surfaces(rays, geometry_.rays().closest(rays), far_m);
        for (int i = 0; i < packet_size; ++i)
            if (has_lane(surfaces.found, i))
                vertices[static_cast<std::size_t>(i)] = vertex_of(surfaces, i);
        return surfaces.found;
    }

    const PlacedShoot& shoot_;
    const Take& take_;
    Source lamp_;
    const Geometry& geometry_;
    Projection projection_;
    std::size_t bounces_;
    float spread_;
};

}  // namespace

std::vector<TracedBlock> traced_blocks(const PlacedShoot& shoot, const Take& take,
                                       const std::string& lamp, const Geometry& geometry,
                                       const std::vector<glm::ivec2>& corners_px,
                                       const PathTracing& settings) {
    const std::vector<LitLamp> lamps = lit_lamps(shoot, take);
    const auto lit = std::ranges::find_if(
        lamps, [&](const LitLamp& candidate) { return candidate.lamp->name == lamp; });
    if (lit == lamps.end() || lit->path)
        throw std::invalid_argument("paths need a lamp that stands: " + lamp);
    if (settings.bounces < 1 || settings.bounces > most_bounces)
        throw std::invalid_argument("paths of 1 to 3 bounces");
    const Tracer tracer(shoot, take, *lit, geometry, settings.bounces);
    std::vector<TracedBlock> blocks(corners_px.size());
    tbb::parallel_for(std::size_t{0}, blocks.size(),
                      [&](std::size_t i) { blocks[i] = tracer.block(corners_px[i], settings); });
    return blocks;
}

}  // namespace lampflight
