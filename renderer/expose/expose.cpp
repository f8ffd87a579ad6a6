#include "renderer/expose/expose.h"

#include <algorithm>
#include <cmath>
#include <mutex>
#include <optional>
#include <utility>

#include "renderer/expose/pass_exposure.h"
#include "scene/shoot/lit_lamp.h"

namespace lampflight {
namespace {

/// Sums shares of work from all threads and passes a rising total on.
class Progress {
public:
    explicit Progress(const Watch& watch) : watch_(watch) {}

    void add(double share) {
        if (!watch_.progress) return;
        const std::lock_guard lock(mutex_);
        done_ += share;
        watch_.progress(std::min(1.0, done_));
    }

private:
    const Watch& watch_;
    std::mutex mutex_;
    double done_ = 0.0;
};

/// A take's layers, without light as yet.
ExposedTake unexposed(const Shoot& shoot, const Take& take, const std::vector<LitLamp>& lamps) {
    const glm::ivec2 pixels = shoot.camera.pixels;
    ExposedTake film{take.name, settings_of(shoot, take), pixels, {}};
    const auto add = [&](LayerId id) -> Layer& {
        Layer& layer = film.layers.emplace_back();
        layer.id = std::move(id);
        return layer;
    };
    const auto add_trail = [&](LayerId id) {
        add(std::move(id)).trail.emplace(pixels.x, pixels.y, trail_side(shoot.camera));
    };
    for (const LitLamp& lit : lamps) {
        add(lamp_layer(lit.lamp->name, LightWay::surface));
        add_trail(lamp_layer(lit.lamp->name, LightWay::trail));
    }
    add({LightSource::sky, LightWay::surface});
    add({LightSource::sky, LightWay::view});
    if (shoot.place) {
        add({LightSource::sun, LightWay::surface});
        add({LightSource::moon, LightWay::surface});
        for (const LightSource source : {LightSource::sun, LightSource::moon, LightSource::stars})
            add_trail({source, LightWay::view});
    }
    return film;
}

}  // namespace

std::vector<const Take*> wanted_takes(const Shoot& shoot, const std::vector<std::string>& only) {
    std::vector<const Take*> takes;
    for (const std::string& name : only.empty() ? shoot.photograph.takes : only)
        if (const Take* take = find_named(shoot.takes, name)) takes.push_back(take);
    return takes;
}

int trail_side(const Camera& camera) {
    constexpr double most_parts = 6.0;  // finer ones no longer show in the means
    return static_cast<int>(std::clamp(std::round(camera.sensor_pixels_across), 1.0, most_parts));
}

std::optional<std::vector<ExposedTake>> expose(const PlacedShoot& shoot,
                                               const RenderSettings& settings, const Watch& watch,
                                               const std::vector<std::string>& only_takes) {
    const std::vector<const Take*> takes = wanted_takes(shoot, only_takes);
    const std::vector<SharedPass> passes = shared_passes(shoot, takes);
    const Effort effort = scaled_to(effort_of(settings.quality), shoot.camera.pixels);
    std::vector<ExposedTake> exposed;
    std::vector<std::vector<LitLamp>> lit;  // in each take
    for (const Take* take : takes) {
        lit.push_back(lit_lamps(shoot, *take));
        exposed.push_back(unexposed(shoot, *take, lit.back()));
    }

    Progress progress(watch);
    constexpr double bounce_share = 0.1;
    const double pass_share = 1.0 / static_cast<double>(passes.size());
    std::optional<Geometry> geometry;
    Skies skies(shoot);
    for (const SharedPass& pass : passes) {
        if (geometry)
            geometry->set_subjects(pass.subjects);
        else
            geometry.emplace(shoot, pass.subjects);
        PassExposure exposure(shoot, takes, lit, pass, *geometry, skies, effort);
        if (!exposure.bounce(settings.bounces, watch.stop)) return std::nullopt;
        progress.add(bounce_share * pass_share);
        const auto tile_done = [&](double of_frame) {
            progress.add((1.0 - bounce_share) * pass_share * of_frame);
        };
        if (!exposure.see_surfaces(tile_done, watch.stop)) return std::nullopt;
        if (!exposure.hand_out(exposed, watch.stop)) return std::nullopt;
    }
    return exposed;
}

}  // namespace lampflight
