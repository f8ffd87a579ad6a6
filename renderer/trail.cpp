#include "renderer/trail.h"

#include <algorithm>
#include <cmath>

#include "scene/angle.h"

namespace lampflight {
namespace {

constexpr double step_parts = 0.25;  // of the trail film's parts
constexpr double fewest_steps = 2048.0;
constexpr double most_steps = 2e6;
constexpr double nearest_m = 0.05;  // a lamp that touches the lens is drawn as if this far away

/// Steps short enough on the film, evenly spaced in time.
std::size_t steps_needed(const Projection& projection, const LampTrack& track, int side) {
    if (!track.moves()) return 1;
    constexpr int probes = 2048;
    double fastest_px = 0.0;
    std::optional<Vec2> before;
    for (int i = 0; i <= probes; ++i) {
        const float time_s = track.lit_s() * static_cast<float>(i) / probes;
        const auto here = projection.film_px(Vec3(track.at(time_s).position_m));
        if (here && before) fastest_px = std::max(fastest_px, glm::distance(*here, *before));
        before = here;
    }
    const double steps = fastest_px * side * probes / step_parts;
    return static_cast<std::size_t>(std::clamp(steps, fewest_steps, most_steps));
}

/// Which of sixteen lamp positions the lens sees.
LaneMask seen(const Stage& stage, const glm::vec3& lens_m,
              const std::array<LampInstant, packet_size>& instants, LaneMask active) {
    RayPacket rays;
    rays.active = active;
    rays.reach.lane.fill(0.9999f);
    for (int i = 0; i < packet_size; ++i) {
        rays.origin_m.set(i, lens_m);
        rays.direction.set(i, instants[static_cast<std::size_t>(i)].position_m - lens_m);
    }
    return active & ~stage.rays().occluded(rays);
}

}  // namespace

double trail_width_mm(const Camera& camera, double f_number, double face_m, double depth_m) {
    const double face_mm = camera.focal_mm * face_m / depth_m;
    const double focus_mm = camera.focus_m * 1000.0;
    const double depth_mm = depth_m * 1000.0;
    const double defocus_mm = camera.focal_mm * camera.focal_mm /
                              (f_number * (focus_mm - camera.focal_mm)) *
                              std::abs(depth_mm - focus_mm) / depth_mm;
    const double airy_mm = 0.5 * 2.44 * 550e-6 * f_number;
    return std::sqrt(face_mm * face_mm + defocus_mm * defocus_mm + airy_mm * airy_mm);
}

void add_trail(const Camera& camera, const ExposureSettings& settings, const Stage& stage,
               const LampTrack& track, TrailFilm& film) {
    const Projection projection(camera);
    const glm::vec3 lens_m(projection.position_m());
    const Vec2 pitch_mm = pixel_pitch_mm(camera);
    const double pixel_m2 = pitch_mm.x * pitch_mm.y * 1e-6;
    const double pupil_m = camera.focal_mm * 1e-3 / settings.f_number;
    // (pi/4) T v of the lens factor, times pupil diameter squared over the pixel's area.
    const double gain =
        lens_factor(camera.lens_transmission, 1.0) * pupil_m * pupil_m / pixel_m2;

    const std::size_t steps = steps_needed(projection, track, film.side());
    const double step_s = static_cast<double>(track.lit_s()) / static_cast<double>(steps);
    for (std::size_t first = 0; first < steps; first += packet_size) {
        std::array<LampInstant, packet_size> instants;
        LaneMask active = 0;
        for (std::size_t i = 0; i < packet_size; ++i) {
            const std::size_t step = std::min(first + i, steps - 1);
            instants[i] = track.at(
                static_cast<float>((static_cast<double>(step) + 0.5) * step_s));
            if (first + i < steps) active |= 1u << i;
        }
        active = seen(stage, lens_m, instants, active);
        for (std::size_t i = 0; i < packet_size; ++i) {
            if (!has_lane(active, static_cast<int>(i))) continue;
            const Vec3 lamp_m(instants[i].position_m);
            const auto centre_px = projection.film_px(lamp_m);
            const double depth_m = projection.depth_m(lamp_m);
            if (!centre_px || depth_m < nearest_m) continue;
            const Vec3 to_lens = projection.position_m() - lamp_m;
            const double distance_m = glm::length(to_lens);
            const auto cos_to_aim =
                static_cast<float>(glm::dot(to_lens, Vec3(instants[i].aim)) / distance_m);
            const double flux = static_cast<double>(track.intensity_cd(cos_to_aim)) * (depth_m / distance_m) /
                                (distance_m * distance_m);
            const double width_mm = trail_width_mm(
                camera, settings.f_number, 2.0 * static_cast<double>(track.face_radius_m()),
                depth_m);
            film.add_disc(*centre_px, 0.5 * width_mm / pitch_mm.x,
                          static_cast<float>(gain * flux * step_s) * track.colour());
        }
    }
}

}  // namespace lampflight
