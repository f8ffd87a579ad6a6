#include "renderer/render.h"

#include <algorithm>
#include <cmath>
#include <mutex>

#include "renderer/cell_light.h"
#include "renderer/glow.h"
#include "renderer/surface_pass.h"
#include "renderer/trail.h"

namespace lampflight {
namespace {

// Finer parts than this no longer show in the means.
constexpr double most_trail_parts = 6.0;

/// One lamp in one take: where its track and films stand.
struct LampInTake {
    std::size_t take;
    std::string name;
};

/// Takes that see the same subjects share one stage: one set of rays from the lens, one sky.
struct StageTakes {
    std::vector<const Subject*> present;
    std::vector<const Take*> takes;
};

std::vector<StageTakes> stages_of(const Shoot& shoot, const std::vector<const Take*>& takes) {
    std::vector<StageTakes> stages;
    for (const Take* take : takes) {
        const std::vector<const Subject*> present = present_subjects(shoot, *take);
        const auto same = std::ranges::find(stages, present, &StageTakes::present);
        if (same != stages.end())
            same->takes.push_back(take);
        else
            stages.push_back({present, {take}});
    }
    return stages;
}

std::vector<const Take*> wanted_takes(const Shoot& shoot, const std::vector<std::string>& only) {
    std::vector<const Take*> takes;
    for (const std::string& name : only.empty() ? shoot.photograph.takes : only)
        if (const Take* take = find_named(shoot.takes, name)) takes.push_back(take);
    return takes;
}

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

Image scaled(const Image& film, double factor) {
    Image result(film.width, film.height);
    const auto f = static_cast<float>(factor);
    for (std::size_t i = 0; i < film.pixels.size(); ++i) result.pixels[i] = f * film.pixels[i];
    return result;
}

void add_to(Image& sum, const Image& more) {
    for (std::size_t i = 0; i < sum.pixels.size(); ++i) sum.pixels[i] += more.pixels[i];
}

Image sum_of_layers(const ExposedTake& take) {
    Image sum = take.layers.front().exposure_lxs;
    for (std::size_t k = 1; k < take.layers.size(); ++k)
        add_to(sum, take.layers[k].exposure_lxs);
    return sum;
}

/// Exposes the takes of one stage. Empty when stopped.
std::optional<std::vector<ExposedTake>> expose_stage(const Shoot& shoot, const StageTakes& group,
                                                     const RenderSettings& settings,
                                                     const Sky& sky, Progress& progress,
                                                     double share, const std::stop_token& stop) {
    const Effort effort = effort_of(settings.quality);
    const Stage stage(shoot, group.present);

    std::vector<LampInTake> owners;
    StageLight light{stage, sky, {}, {}, {}};
    for (std::size_t t = 0; t < group.takes.size(); ++t)
        for (const LitLamp& lit : lit_lamps(shoot, *group.takes[t])) {
            light.lamps.emplace_back(shoot, lit);
            owners.push_back({t, lit.lamp->name});
        }

    if (settings.bounces > 0) {
        light.cells = light_cells(stage, glm::vec3(shoot.camera.position_m));
        std::vector<CellLight> direct_lxs;
        for (const LampTrack& track : light.lamps) {
            if (stop.stop_requested()) return std::nullopt;
            direct_lxs.push_back(lamp_in_cells(stage, light.cells, track, effort.cell_strata));
        }
        light.bounced = bounce_in_cells(stage, light.cells, sky, direct_lxs, settings.bounces,
                                        effort.cell_directions);
    }
    constexpr double cells_share = 0.1;
    progress.add(cells_share * share);

    StageFilms films;
    const auto tile_done = [&](double of_frame) {
        progress.add((1.0 - cells_share) * share * of_frame);
    };
    if (!surface_pass(shoot.camera, light, effort, films, tile_done, stop)) return std::nullopt;

    const int trail_side = static_cast<int>(std::clamp(
        std::round(shoot.camera.sensor_pixels_across), 1.0, most_trail_parts));
    std::vector<ExposedTake> exposed;
    for (std::size_t t = 0; t < group.takes.size(); ++t) {
        const Take& take = *group.takes[t];
        ExposedTake film{take.name, settings_of(shoot, take), {},
                         TrailFilm(shoot.camera.pixels.x, shoot.camera.pixels.y, trail_side), {}};
        const double square = film.settings.f_number * film.settings.f_number;
        for (std::size_t k = 0; k < owners.size(); ++k) {
            if (owners[k].take != t) continue;
            film.layers.push_back(
                {owners[k].name + ".surface", scaled(films.lamp_surface[k], 1.0 / square)});
            TrailFilm trail(shoot.camera.pixels.x, shoot.camera.pixels.y, trail_side);
            add_trail(shoot.camera, film.settings, stage, light.lamps[k], trail);
            film.layers.push_back({owners[k].name + ".trail", trail.picture()});
            film.trails.add(trail);
        }
        const double sky_scale = film.settings.shutter_s / square;
        film.layers.push_back({"sky.surface", scaled(films.sky_surface, sky_scale)});
        film.layers.push_back({"sky.view", scaled(films.sky_view, sky_scale)});
        film.glow_lxs = glow_of(sum_of_layers(film));
        if (stop.stop_requested()) return std::nullopt;
        exposed.push_back(std::move(film));
    }
    return exposed;
}

}  // namespace

std::optional<std::vector<ExposedTake>> expose(const Shoot& shoot, const RenderSettings& settings,
                                               const Watch& watch,
                                               const std::vector<std::string>& only_takes) {
    const std::vector<const Take*> takes = wanted_takes(shoot, only_takes);
    const std::vector<StageTakes> stages = stages_of(shoot, takes);
    const Sky sky(shoot.sky);
    Progress progress(watch);
    std::vector<ExposedTake> exposed;
    for (const StageTakes& group : stages) {
        auto films = expose_stage(shoot, group, settings, sky, progress,
                                  1.0 / static_cast<double>(stages.size()), watch.stop);
        if (!films) return std::nullopt;
        std::ranges::move(*films, std::back_inserter(exposed));
    }
    // Back into the order in which they were asked for.
    std::ranges::sort(exposed, {}, [&](const ExposedTake& film) {
        return std::ranges::find(takes, film.name, &Take::name) - takes.begin();
    });
    return exposed;
}

Image film_lxs(const ExposedTake& take) {
    Image film = sum_of_layers(take);
    add_to(film, take.glow_lxs);
    return film;
}

}  // namespace lampflight
