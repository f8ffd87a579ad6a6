#include "renderer/render.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <mutex>
#include <optional>
#include <set>
#include <utility>

#include "renderer/cell_light.h"
#include "renderer/defocus.h"
#include "renderer/disc_view.h"
#include "renderer/stage_plan.h"
#include "renderer/stars.h"
#include "renderer/surface_pass.h"
#include "renderer/trail.h"
#include "scene/celestial.h"
#include "scene/night_sky.h"

namespace lampflight {
namespace {

// Finer parts than this no longer show in the means.
constexpr double most_trail_parts = 6.0;

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

/// Skies of a shoot by their moments, each made once.
class Skies {
public:
    explicit Skies(const Shoot& shoot) : shoot_(shoot) {}

    /// In seconds after the place's own moment.
    const Sky& at(double after_s) {
        const auto made = skies_.find(after_s);
        return made != skies_.end() ? made->second
                                    : skies_.emplace(after_s, made_for(after_s)).first->second;
    }

private:
    Sky made_for(double after_s) {
        if (!shoot_.place) return Sky(shoot_.sky);
        const NightSky night = night_sky(shoot_, shoot_.place->when.unix_s + after_s);
        if (!air_) air_.emplace(atmosphere_of(night));
        return Sky(night, *air_);
    }

    const Shoot& shoot_;
    std::optional<Atmosphere> air_;
    std::map<double, Sky> skies_;
};

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

/// A take's layers, without light as yet.
ExposedTake unexposed(const Shoot& shoot, const Take& take) {
    const glm::ivec2 pixels = shoot.camera.pixels;
    const int trail_side = static_cast<int>(
        std::clamp(std::round(shoot.camera.sensor_pixels_across), 1.0, most_trail_parts));
    ExposedTake film{take.name, settings_of(shoot, take), pixels, {}};
    for (const LitLamp& lit : lit_lamps(shoot, take)) {
        film.layers.push_back({lit.lamp->name + ".surface"});
        film.layers.push_back(
            {lit.lamp->name + ".trail", {}, TrailFilm(pixels.x, pixels.y, trail_side)});
    }
    film.layers.push_back({"sky.surface"});
    film.layers.push_back({"sky.view"});
    if (shoot.place) {
        film.layers.push_back({"sun.surface"});
        film.layers.push_back({"moon.surface"});
        for (const char* name : {"sun.view", "moon.view", "stars"})
            film.layers.push_back({name, {}, TrailFilm(pixels.x, pixels.y, trail_side)});
    }
    return film;
}

Layer& layer_named(ExposedTake& take, const std::string& name) {
    return *std::ranges::find(take.layers, name, &Layer::name);
}

/// One stage's light on the films of the takes that use it.
class StageExposure {
public:
    StageExposure(const Shoot& shoot, const std::vector<const Take*>& takes, const StagePlan& plan,
                  const Stage& stage, Skies& skies, const Effort& effort)
        : shoot_(shoot),
          plan_(plan),
          effort_(effort),
          stage_(stage),
          light_{stage_, {}, {}, {}, {}} {
        for (const double after_s : plan.skies_after_s) light_.skies.push_back(&skies.at(after_s));
        for (const StageUse& use : plan.uses)
            for (const LitLamp& lit : lit_lamps(shoot, *takes[use.take])) {
                const LitLamp there = lit_during(lit, use.times);
                if (there.lit.empty()) continue;
                light_.lamps.emplace_back(shoot, there);
                owners_.push_back({use.take, lit.lamp->name});
            }
    }

    /// Light that bounces. Returns false if stopped.
    bool bounce(int bounces, const std::stop_token& stop) {
        if (bounces == 0) return true;
        light_.cells = light_cells(stage_, glm::vec3(shoot_.camera.position_m));
        std::vector<CellLight> direct_lxs;
        for (const LampTrack& track : light_.lamps) {
            if (stop.stop_requested()) return false;
            direct_lxs.push_back(lamp_in_cells(stage_, light_.cells, track, effort_.cell_instants));
        }
        light_.bounced = bounce_in_cells(stage_, light_.cells, light_.skies, direct_lxs, bounces,
                                         effort_.cell_directions);
        return true;
    }

    bool see_surfaces(const std::function<void(double)>& tile_done, const std::stop_token& stop) {
        return surface_pass(shoot_.camera, light_, effort_, films_, tile_done, stop);
    }

    /// Hands the films out and draws the trails. Returns false if stopped.
    bool hand_out(std::vector<ExposedTake>& takes, const std::stop_token& stop) {
        if (!hand_out_films(takes, stop)) return false;
        for (std::size_t k = 0; k < owners_.size(); ++k) {
            if (stop.stop_requested()) return false;
            const auto& [place, lamp] = owners_[k];
            ExposedTake& take = takes[place];
            add_trail(shoot_.camera, take.settings, stage_, light_.lamps[k],
                      *layer_named(take, lamp + ".trail").trail);
        }
        for (const StageUse& use : plan_.uses) {
            if (stop.stop_requested()) return false;
            ExposedTake& take = takes[use.take];
            if (shoot_.place) see_bodies(use, take);
            for (Layer& layer : take.layers) sum_own_films(layer);
        }
        return true;
    }

private:
    /// One lamp in one take.
    struct Owner {
        std::size_t take;
        std::string lamp;
    };

    static double square_of(double value) { return value * value; }

    /// What moves over the sky while the shutter is open.
    void see_bodies(const StageUse& use, ExposedTake& take) const {
        const double after_s = plan_.skies_after_s[use.sky];
        for (const DirectLight& disc : light_.skies[use.sky]->direct())
            add_disc_view(shoot_.camera, take.settings, stage_,
                          disc_legs(shoot_, disc, after_s, use.times),
                          *layer_named(take, name_of(disc.body) + std::string(".view")).trail);
        add_stars(shoot_.camera, take.settings, stage_, star_field(shoot_, after_s), use.times,
                  *layer_named(take, "stars").trail);
    }

    /// A film that takes of several f-numbers see in the same way.
    struct SharedFilm {
        std::size_t sky;  ///< under which it was exposed
        std::string layer;
        SkyLux light;  ///< whose light it shows
        double scale;  ///< that the film has in it: seconds over the square of an f-number
        std::shared_ptr<const Image> film;
    };

    /// The films of one sky, scaled for the first use of it.
    void share_sky(const std::vector<ExposedTake>& takes, std::size_t sky,
                   std::vector<SharedFilm>& shared) {
        const StageUse& first = *std::ranges::find(plan_.uses, sky, &StageUse::sky);
        SkyFilms& films = films_.skies[sky];
        const auto share = [&](std::string layer, SkyLux light, Image& film) {
            const double scale = scale_of(first, takes, light);
            scale_film(film, static_cast<float>(scale));
            shared.push_back({sky, std::move(layer), std::move(light), scale,
                              std::make_shared<const Image>(std::exchange(film, {}))});
        };
        const auto all = [](const NightSky& night) { return horizontal_lx(night); };
        share("sky.surface", all, films.surface);
        share("sky.view", all, films.view);
        for (std::size_t k = 0; k < films.discs.size(); ++k) {
            const Luminary body = light_.skies[sky]->direct()[k].body;
            share(
                name_of(body) + std::string(".surface"),
                [=](const NightSky& night) {
                    return (body == Luminary::sun ? night.sun : night.moon).clear_lx;
                },
                films.discs[k]);
        }
    }

    /// Films of surfaces and sky: defocus goes with the f-number, so takes of one share what they
    /// can, and all where nothing is out of focus. In lux seconds, so that a file of layers holds
    /// the same numbers. Returns false if stopped.
    bool hand_out_films(std::vector<ExposedTake>& takes, const std::stop_token& stop) {
        std::vector<SharedFilm> shared;
        for (std::size_t sky = 0; sky < films_.skies.size(); ++sky) share_sky(takes, sky, shared);
        std::set<double> f_numbers;
        for (const StageUse& use : plan_.uses) f_numbers.insert(takes[use.take].settings.f_number);
        for (const double f_number : f_numbers) {
            const Defocus defocus(shoot_.camera, f_number, films_.depth);
            for (const SharedFilm& film : shared) {
                if (stop.stop_requested()) return false;
                hand_out_shared(takes, f_number, film, defocus);
            }
            for (std::size_t k = 0; k < owners_.size(); ++k) {
                ExposedTake& take = takes[owners_[k].take];
                if (take.settings.f_number != f_number) continue;
                if (stop.stop_requested()) return false;
                scale_film(films_.lamp_surface[k], static_cast<float>(1.0 / square_of(f_number)));
                auto film = std::make_shared<const Image>(std::move(films_.lamp_surface[k]));
                layer_named(take, owners_[k].lamp + ".surface")
                    .films.push_back({drawn(defocus, std::move(film)), 1.0f});
            }
        }
        return true;
    }

    static std::shared_ptr<const Image> drawn(const Defocus& defocus,
                                              std::shared_ptr<const Image> film) {
        return defocus.visible() ? std::make_shared<const Image>(defocus.blurred(*film)) : film;
    }

    /// Seconds of a light as strong as when the shutter opens.
    double lasting_s(const StageUse& use, const SkyLux& light) const {
        if (!shoot_.place) return total_s(use.times);
        return as_at_opening_s(shoot_, plan_.skies_after_s[use.sky], use.times, light);
    }

    /// What a use makes of a film of such light.
    double scale_of(const StageUse& use, const std::vector<ExposedTake>& takes,
                    const SkyLux& light) const {
        return lasting_s(use, light) / square_of(takes[use.take].settings.f_number);
    }

    /// A shared film, as defocus draws it, goes to the takes of an f-number.
    void hand_out_shared(std::vector<ExposedTake>& takes, double f_number, const SharedFilm& shared,
                         const Defocus& defocus) const {
        if (shared.scale <= 0.0) return;
        std::shared_ptr<const Image> film;
        for (const StageUse& use : plan_.uses) {
            ExposedTake& take = takes[use.take];
            if (use.sky != shared.sky || take.settings.f_number != f_number) continue;
            if (!film) film = drawn(defocus, shared.film);
            const auto scale =
                static_cast<float>(scale_of(use, takes, shared.light) / shared.scale);
            layer_named(take, shared.layer).films.push_back({film, scale});
        }
    }

    const Shoot& shoot_;
    const StagePlan& plan_;
    const Effort& effort_;
    const Stage& stage_;
    StageLight light_;
    StageFilms films_;
    std::vector<Owner> owners_;  ///< of the lamps and their films, one each
};

}  // namespace

std::optional<std::vector<ExposedTake>> expose(const Shoot& shoot, const RenderSettings& settings,
                                               const Watch& watch,
                                               const std::vector<std::string>& only_takes) {
    const std::vector<const Take*> takes = wanted_takes(shoot, only_takes);
    const std::vector<StagePlan> plans = stage_plans(shoot, takes);
    const Effort effort = scaled_to(effort_of(settings.quality), shoot.camera.pixels);
    std::vector<ExposedTake> exposed;
    for (const Take* take : takes) exposed.push_back(unexposed(shoot, *take));

    Progress progress(watch);
    constexpr double bounce_share = 0.1;
    const double stage_share = 1.0 / static_cast<double>(plans.size());
    std::optional<Stage> set;
    Skies skies(shoot);
    for (const StagePlan& plan : plans) {
        if (set)
            set->recast(plan.subjects);
        else
            set.emplace(shoot, plan.subjects);
        StageExposure stage(shoot, takes, plan, *set, skies, effort);
        if (!stage.bounce(settings.bounces, watch.stop)) return std::nullopt;
        progress.add(bounce_share * stage_share);
        const auto tile_done = [&](double of_frame) {
            progress.add((1.0 - bounce_share) * stage_share * of_frame);
        };
        if (!stage.see_surfaces(tile_done, watch.stop)) return std::nullopt;
        if (!stage.hand_out(exposed, watch.stop)) return std::nullopt;
    }
    return exposed;
}

}  // namespace lampflight
