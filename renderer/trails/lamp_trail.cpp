#include "renderer/trails/lamp_trail.h"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <vector>

#include "scene/camera/lens_light.h"
#include "scene/camera/trail_width.h"

namespace lampflight {
namespace {

constexpr double step_parts = 0.25;  // of the trail film's parts
// Of the beam's lobe: sums of a Gaussian by even steps err by 1e-8 at its standard deviation.
constexpr double step_lobes = 1.0;
constexpr double fewest_steps = 2048.0;  // of all the lit time together
constexpr double most_steps = 2e6;
constexpr double golden_share = 0.6180339887498949;  // evenly spread, whatever the count
constexpr double fewest_probes = 16.0;  // of each lit stretch, for how fast it goes
constexpr double nearest_m = 0.05;  // a lamp that touches the lens is drawn as if this far away

/// Even steps of one lit stretch, in lit time.
struct Steps {
    double from_s;
    double step_s;
    std::size_t count;
    double phase = 0.5;  ///< of the instant within its step
};

/// The most pixels that the lamp's image moves from one even probe of a burning to the next. The
/// probes lie within it: none is beyond a dark gap.
double fastest_px(const Projection& projection, const LampTrack& track, double from_s,
                  double probe_s, int probes) {
    double fastest = 0.0;
    std::optional<Vec2> before;
    for (int i = 0; i < probes; ++i) {
        const auto time_s = static_cast<float>(from_s + probe_s * (i + 0.5));
        const auto here = projection.film_px(Vec3(track.at(time_s).position_m));
        if (here && before) fastest = std::max(fastest, glm::distance(*here, *before));
        before = here;
    }
    return fastest;
}

/// The most that the beam turns, as the lens sees it, from one such probe to the next: the change
/// of the direction to the lens less that of the aim.
double fastest_rad(const glm::vec3& lens_m, const LampTrack& track, double from_s, double probe_s,
                   int probes) {
    float fastest = 0.0f;
    std::optional<glm::vec3> before;
    for (int i = 0; i < probes; ++i) {
        const LampInstant lamp = track.at(static_cast<float>(from_s + probe_s * (i + 0.5)));
        const glm::vec3 to_lens = lens_m - lamp.position_m;
        const glm::vec3 here = to_lens / std::max(glm::length(to_lens), 1e-4f) - lamp.aim;
        if (before) fastest = std::max(fastest, glm::distance(here, *before));
        before = here;
    }
    return static_cast<double>(fastest);
}

/// Steps short enough on the film and for the beam, for every lit stretch by itself.
std::vector<Steps> steps_of(const Projection& projection, const LampTrack& track, int side) {
    const auto lit_s = static_cast<double>(track.lit_s());
    if (!track.moves()) return {{0.0, lit_s, 1, 0.5}};
    std::vector<Steps> all;
    const std::vector<float>& edges_s = track.edges_s();
    for (std::size_t i = 0; i + 1 < edges_s.size(); ++i) {
        const auto from_s = static_cast<double>(edges_s[i]);
        const double lasts_s = static_cast<double>(edges_s[i + 1]) - from_s;
        if (lasts_s <= 0.0) continue;
        const double share = lasts_s / lit_s;
        const double probes = std::max(fewest_probes, std::ceil(fewest_steps * share));
        const double moves_px = probes * fastest_px(projection, track, from_s, lasts_s / probes,
                                                    static_cast<int>(probes));
        const double turns_rad =
            probes * fastest_rad(glm::vec3(projection.position_m()), track, from_s,
                                 lasts_s / probes, static_cast<int>(probes));
        const double wanted =
            std::max(moves_px * side / step_parts,
                     turns_rad / (step_lobes * static_cast<double>(track.lobe_rad())));
        const double count = std::clamp(std::ceil(wanted), std::ceil(fewest_steps * share),
                                        std::max(1.0, std::ceil(most_steps * share)));
        // Parts of a strip fly one way: in step they would draw streaks across it.
        const std::size_t part = i * static_cast<std::size_t>(track.strip_parts()) /
                                 (edges_s.size() - 1);
        const double phase = std::fmod(0.5 + golden_share * static_cast<double>(part), 1.0);
        all.push_back({from_s, lasts_s / count, static_cast<std::size_t>(count), phase});
    }
    return all;
}

/// The instants of all steps, one after the other.
class StepRow {
public:
    explicit StepRow(std::vector<Steps> steps) : steps_(std::move(steps)) {}

    bool at_end() const { return burning_ == steps_.size(); }
    double time_s() const {
        return now().from_s + now().step_s * (static_cast<double>(step_) + now().phase);
    }
    double step_s() const { return now().step_s; }
    void go_on() {
        if (++step_ < now().count) return;
        step_ = 0;
        ++burning_;
    }

private:
    const Steps& now() const { return steps_[burning_]; }

    std::vector<Steps> steps_;
    std::size_t burning_ = 0;
    std::size_t step_ = 0;
};

/// Which of sixteen lamp positions the lens sees.
LaneMask seen(const Geometry& geometry, const glm::vec3& lens_m,
              const std::array<LampInstant, packet_size>& instants, LaneMask active) {
    RayPacket rays;
    rays.active = active;
    rays.reach.lane.fill(0.9999f);
    for (int i = 0; i < packet_size; ++i) {
        rays.origin_m.set(i, lens_m);
        rays.direction.set(i, instants[static_cast<std::size_t>(i)].position_m - lens_m);
    }
    return active & ~geometry.rays().occluded(rays);
}

}  // namespace

void add_trail(const Camera& camera, const ExposureSettings& settings, const Geometry& geometry,
               const LampTrack& track, TrailFilm& film) {
    const Projection projection(camera);
    const glm::vec3 lens_m(projection.position_m());
    const Vec2 pitch_mm = pixel_pitch_mm(camera);
    const LensLight lens(camera);
    const double gain = lens.point_gain(settings.f_number);

    StepRow steps(steps_of(projection, track, film.side()));
    while (!steps.at_end()) {
        std::array<LampInstant, packet_size> instants;
        std::array<double, packet_size> step_s{};
        LaneMask active = 0;
        for (std::size_t i = 0; i < packet_size && !steps.at_end(); ++i, steps.go_on()) {
            instants[i] = track.at(static_cast<float>(steps.time_s()));
            step_s[i] = steps.step_s();
            active |= 1u << i;
        }
        for (auto i = static_cast<std::size_t>(std::popcount(active)); i < packet_size; ++i)
            instants[i] = instants.front();
        active = seen(geometry, lens_m, instants, active);
        for (std::size_t i = 0; i < packet_size; ++i) {
            if (!has_lane(active, static_cast<int>(i))) continue;
            const Vec3 lamp_m(instants[i].position_m);
            const auto centre_px = projection.film_px(lamp_m);
            const double depth_m = projection.depth_m(lamp_m);
            if (!centre_px || depth_m < nearest_m) continue;
            const Vec3 to_lens = projection.position_m() - lamp_m;
            const double distance_m = glm::length(to_lens);
            const Vec3 off_aim = to_lens / distance_m - Vec3(instants[i].aim);
            const auto haversine = static_cast<float>(0.25 * glm::dot(off_aim, off_aim));
            const double flux = static_cast<double>(track.intensity_cd(haversine)) *
                                (depth_m / distance_m) / (distance_m * distance_m) *
                                lens.corner_share(*centre_px);
            const double width_mm =
                trail_width_mm(camera, settings.f_number,
                               2.0 * static_cast<double>(track.face_radius_m()), depth_m);
            film.add_disc(*centre_px, 0.5 * width_mm / pitch_mm.x,
                          static_cast<float>(gain * flux * step_s[i]) * track.flux_lm());
        }
    }
}

}  // namespace lampflight
