#include "renderer/trails/lamp_trail.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <utility>
#include <vector>

#include <tbb/parallel_for.h>

#include "renderer/film/disc_drawing.h"
#include "scene/camera/lens_light.h"
#include "scene/camera/trail_width.h"

namespace lampflight {
namespace {

// Of the beam's lobe: sums of a Gaussian by even steps err by 1e-8 at its standard deviation.
constexpr double step_lobes = 1.0;
constexpr double fewest_steps = 2048.0;  // of all the lit time together
constexpr double most_steps = 2e6;
constexpr double golden_share = 0.6180339887498949;  // evenly spread, whatever the count
constexpr double fewest_probes = 16.0;               // of each lit stretch, for how fast it goes
constexpr std::size_t packets_at_once = 64;          // between looks at whether to stop
constexpr std::size_t batches_at_once = 64;  // of those: what threads share before it is laid

/// Even steps of one lit stretch, in lit time.
struct Steps {
    double from_s;
    double step_s;
    std::size_t count;
    double phase = 0.5;  ///< of the instant within its step
};

/// Where and how wide a camera images a lamp.
class LampImages {
public:
    LampImages(const Camera& camera, double f_number, const LampTrack& track, int side)
        : projection_(camera),
          camera_(camera),
          f_number_(f_number),
          face_m_(2.0 * static_cast<double>(track.face_radius_m())),
          pitch_mm_(pixel_pitch_mm(camera).x),
          side_(side) {}

    struct Place {
        Vec2 centre_px;
        double radius_px;
        double depth_m;
    };

    /// None behind the lens or in it.
    std::optional<Place> at(const Vec3& lamp_m) const {
        const auto centre_px = projection_.film_px(lamp_m);
        const double depth_m = projection_.depth_m(lamp_m);
        if (!centre_px || depth_m < nearest_imaged_m) return std::nullopt;
        const double width_mm = trail_width_mm(camera_, f_number_, face_m_, depth_m);
        return Place{*centre_px, 0.5 * width_mm / pitch_mm_, depth_m};
    }

    /// How far one lies from another, in steps that draw an even trail.
    double shifts(const Place& from, const Place& to) const {
        const double least_px = finest_shift_px(std::min(from.radius_px, to.radius_px), side_);
        const double moves_px = glm::distance(from.centre_px, to.centre_px);
        // A narrow disc that grows stays where it is.
        const bool is_wide = least_px > finest_shift_px(0.0, side_);
        const double grows_px = is_wide ? std::abs(from.radius_px - to.radius_px) : 0.0;
        return std::max(moves_px, grows_px) / least_px;
    }

    const Projection& projection() const { return projection_; }

private:
    Projection projection_;
    const Camera& camera_;
    double f_number_;
    double face_m_;
    double pitch_mm_;
    int side_;
};

/// The most steps that the lamp's image moves from one even probe of a burning to the next. The
/// probes lie within it: none is beyond a dark gap.
double most_shifts(const LampImages& images, const LampTrack& track, double from_s, double probe_s,
                   int probes) {
    double most = 0.0;
    std::optional<LampImages::Place> before;
    for (int i = 0; i < probes; ++i) {
        const auto time_s = static_cast<float>(from_s + probe_s * (i + 0.5));
        const auto here = images.at(Vec3(track.at(time_s).position_m));
        if (here && before) most = std::max(most, images.shifts(*before, *here));
        before = here;
    }
    return most;
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
std::vector<Steps> steps_of(const LampImages& images, const LampTrack& track) {
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
        const double shifts =
            probes * most_shifts(images, track, from_s, lasts_s / probes, static_cast<int>(probes));
        const double turns_rad =
            probes * fastest_rad(glm::vec3(images.projection().position_m()), track, from_s,
                                 lasts_s / probes, static_cast<int>(probes));
        const double wanted =
            std::max(shifts, turns_rad / (step_lobes * static_cast<double>(track.lobe_rad())));
        const double count = std::clamp(std::ceil(wanted), std::ceil(fewest_steps * share),
                                        std::max(1.0, std::ceil(most_steps * share)));
        // Parts of a strip fly one way: in step they would draw streaks across it.
        const std::size_t part =
            i * static_cast<std::size_t>(track.strip_parts()) / (edges_s.size() - 1);
        const double phase = std::fmod(0.5 + golden_share * static_cast<double>(part), 1.0);
        all.push_back({from_s, lasts_s / count, static_cast<std::size_t>(count), phase});
    }
    return all;
}

/// A step's instant, and how long it lasts.
struct Step {
    double time_s;
    double lasts_s;
};

/// All steps, one after the other.
class StepRow {
public:
    explicit StepRow(std::vector<Steps> steps) : steps_(std::move(steps)) {
        for (const Steps& some : steps_) ends_.push_back(count() + some.count);
    }

    std::size_t count() const { return ends_.empty() ? 0 : ends_.back(); }

    /// Those from one to before another.
    template <class Look>
    void look_at(std::size_t from, std::size_t to, Look look) const {
        auto stretch =
            static_cast<std::size_t>(std::ranges::upper_bound(ends_, from) - ends_.begin());
        for (std::size_t i = from; i < to; ++i) {
            if (i >= ends_[stretch]) ++stretch;
            const Steps& some = steps_[stretch];
            const std::size_t step = i - (ends_[stretch] - some.count);
            look(Step{some.from_s + some.step_s * (static_cast<double>(step) + some.phase),
                      some.step_s});
        }
    }

private:
    std::vector<Steps> steps_;
    std::vector<std::size_t> ends_;  ///< of each stretch: how many steps there are up to there
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

/// What a lamp lays on film at sixteen steps at a time.
class LampPainter {
public:
    LampPainter(const Camera& camera, const ExposureSettings& settings, const Geometry& geometry,
                const LampTrack& track, const LampImages& images)
        : images_(images),
          geometry_(geometry),
          track_(track),
          lens_(camera),
          lens_m_(images.projection().position_m()),
          gain_(lens_.point_gain(settings.f_number)) {}

    /// Adds the discs of some steps, as many as there are lanes at the most.
    void paint(const StepRow& steps, std::size_t from, std::size_t to,
               std::vector<FilmDisc>& discs) const {
        std::array<LampInstant, packet_size> instants{};
        std::array<double, packet_size> lasts_s{};
        std::size_t count = 0;
        steps.look_at(from, to, [&](const Step& step) {
            instants[count] = track_.at(static_cast<float>(step.time_s));
            lasts_s[count++] = step.lasts_s;
        });
        for (std::size_t i = count; i < packet_size; ++i) instants[i] = instants.front();
        const LaneMask active = seen(geometry_, glm::vec3(lens_m_), instants,
                                     all_lanes >> (packet_size - static_cast<int>(count)));
        for (std::size_t i = 0; i < count; ++i)
            if (has_lane(active, static_cast<int>(i)))
                if (const auto disc = disc_of(instants[i], lasts_s[i])) discs.push_back(*disc);
    }

private:
    std::optional<FilmDisc> disc_of(const LampInstant& lamp, double lasts_s) const {
        const Vec3 lamp_m(lamp.position_m);
        const auto place = images_.at(lamp_m);
        if (!place) return std::nullopt;
        const Vec3 to_lens = lens_m_ - lamp_m;
        const double distance_m = glm::length(to_lens);
        const Vec3 off_aim = to_lens / distance_m - Vec3(lamp.aim);
        const auto haversine = static_cast<float>(0.25 * glm::dot(off_aim, off_aim));
        const double flux = static_cast<double>(track_.intensity_cd(haversine)) *
                            (place->depth_m / distance_m) / (distance_m * distance_m) *
                            lens_.corner_share(place->centre_px);
        return FilmDisc{place->centre_px, place->radius_px,
                        static_cast<float>(gain_ * flux * lasts_s) * track_.flux_lm()};
    }

    const LampImages& images_;
    const Geometry& geometry_;
    const LampTrack& track_;
    LensLight lens_;
    Vec3 lens_m_;
    double gain_;
};

}  // namespace

bool add_trail(const Camera& camera, const ExposureSettings& settings, const Geometry& geometry,
               const LampTrack& track, TrailFilm& film, const std::stop_token& stop) {
    const LampImages images(camera, settings.f_number, track, film.side());
    const LampPainter painter(camera, settings, geometry, track, images);
    const StepRow steps(steps_of(images, track));
    DiscQueue queue(film, stop);
    constexpr std::size_t batch_steps = packets_at_once * packet_size;
    const std::size_t batches = (steps.count() + batch_steps - 1) / batch_steps;
    std::vector<std::vector<FilmDisc>> discs(std::min(batches, batches_at_once));
    for (std::size_t first = 0; first < batches; first += batches_at_once) {
        const std::size_t count = std::min(batches_at_once, batches - first);
        tbb::parallel_for(std::size_t{0}, count, [&](std::size_t i) {
            discs[i].clear();
            if (stop.stop_requested()) return;
            const std::size_t from = (first + i) * batch_steps;
            const std::size_t to = std::min(from + batch_steps, steps.count());
            for (std::size_t step = from; step < to; step += packet_size)
                painter.paint(steps, step, std::min<std::size_t>(step + packet_size, to), discs[i]);
        });
        if (stop.stop_requested()) return false;
        for (std::size_t i = 0; i < count; ++i)
            for (const FilmDisc& disc : discs[i])
                if (!queue.add(disc)) return false;
    }
    return queue.finish();
}

}  // namespace lampflight
