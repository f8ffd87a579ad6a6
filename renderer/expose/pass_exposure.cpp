#include "renderer/expose/pass_exposure.h"

#include <algorithm>
#include <set>
#include <utility>

#include "renderer/surface_light/fill_irradiance_cache.h"
#include "renderer/surface_light/lamps_in_cache.h"
#include "renderer/trails/disc_trails.h"
#include "renderer/trails/lamp_trail.h"
#include "renderer/trails/star_trails.h"
#include "renderer/trails/strip_parts.h"
#include "scene/camera/exposure.h"
#include "scene/shoot/lit_lamp.h"
#include "scene/sky/night_sky.h"

namespace lampflight {
namespace {

Layer& layer_of(ExposedTake& take, const LayerId& id) {
    return *std::ranges::find(take.layers, id, &Layer::id);
}

double all_lx(const NightSky& night) {
    return horizontal_lx(night);
}

SkyLux disc_lx(LightSource body) {
    return [=](const NightSky& night) {
        return (body == LightSource::sun ? night.sun : night.moon).clear_lx;
    };
}

std::shared_ptr<const Image> drawn(const Defocus& defocus, Image film) {
    return std::make_shared<const Image>(defocus.blurred(std::move(film)));
}

}  // namespace

PassExposure::PassExposure(const PlacedShoot& shoot, const std::vector<const Take*>& takes,
                           const std::vector<std::vector<LitLamp>>& lamps, const SharedPass& pass,
                           const Geometry& geometry, Skies& skies, const Effort& effort)
    : shoot_(shoot), pass_(pass), effort_(effort), geometry_(geometry), light_{geometry_} {
    for (const Take* take : takes) f_number_.push_back(settings_of(shoot, *take).f_number);
    for (std::size_t i = 0; i < pass.skies_after_s.size(); ++i)
        light_.skies.push_back(sky_pass(i, skies.at(pass.skies_after_s[i])));
    for (const PassUse& use : pass.uses) add_lamps(use, lamps[use.take]);
}

/// Films come out in lux seconds, a sky's for its first use.
SkyPass PassExposure::sky_pass(std::size_t number, const Sky& sky) const {
    const PassUse& use = first_use(number);
    SkyPass pass{&sky, static_cast<float>(scale_of(use, all_lx))};
    for (const SunMoonDisc& disc : sky.direct())
        pass.discs.push_back({static_cast<float>(scale_of(use, disc_lx(disc.body)))});
    return pass;
}

void PassExposure::add_lamps(const PassUse& use, const std::vector<LitLamp>& lamps) {
    const auto scale = static_cast<float>(focal_plane_exposure_lxs(1.0, 1.0, f_number_[use.take]));
    for (const LitLamp& lit : lamps) {
        const LitLamp there = lit_during(lit, use.times);
        if (there.lit.empty()) continue;
        light_.lamps.push_back({LampTrack(there, aim_targets(shoot_, there), lit_parts(there)),
                                scale, use.take, lit.lamp->name});
        lit_.push_back(there);
    }
}

const PassUse& PassExposure::first_use(std::size_t sky) const {
    return *std::ranges::find(pass_.uses, sky, &PassUse::sky);
}

bool PassExposure::bounce(int bounces, const std::stop_token& stop) {
    if (bounces == 0) return true;
    light_.cells = irradiance_cache(geometry_, glm::vec3(shoot_.camera.position_m));
    std::vector<const LampTrack*> tracks;
    for (const LampPass& lamp : light_.lamps) tracks.push_back(&lamp.track);
    auto lamps = lamps_in_cache(geometry_, tracks, effort_.cell_instants, stop, light_.cells);
    if (!lamps) return false;
    light_.patches = std::move(lamps->patches);
    light_.bounced = bounce_in_cache(geometry_, light_.cells, skies_of(light_), lamps->light_lxs,
                                     bounces, effort_.cell_directions);
    return true;
}

bool PassExposure::see_surfaces(const std::function<void(double)>& tile_done,
                                const std::stop_token& stop) {
    return surface_pass(shoot_.camera, light_, effort_, tile_done, stop);
}

bool PassExposure::hand_out(std::vector<ExposedTake>& takes, const std::stop_token& stop) {
    if (!hand_out_films(takes, stop)) return false;
    for (std::size_t i = 0; i < light_.lamps.size(); ++i) {
        if (stop.stop_requested()) return false;
        const LampPass& lamp = light_.lamps[i];
        ExposedTake& take = takes[lamp.take];
        TrailFilm& film = *layer_of(take, lamp_layer(lamp.name, LightWay::trail)).trail;
        const int parts = drawn_parts(shoot_.camera, take.settings, lit_[i], film.side());
        const auto draw = [&](const LampTrack& track) {
            return add_trail(shoot_.camera, take.settings, geometry_, track, film, stop);
        };
        const bool whole = parts == 1
                               ? draw(lamp.track)
                               : draw(LampTrack(lit_[i], aim_targets(shoot_, lit_[i]), parts));
        if (!whole) return false;
    }
    for (const PassUse& use : pass_.uses) {
        if (stop.stop_requested()) return false;
        ExposedTake& take = takes[use.take];
        if (shoot_.place && !see_bodies(use, take, stop)) return false;
    }
    sum_own_films(takes);
    return true;
}

/// What moves over the sky while the shutter is open. Returns false if stopped.
bool PassExposure::see_bodies(const PassUse& use, ExposedTake& take,
                              const std::stop_token& stop) const {
    const double after_s = pass_.skies_after_s[use.sky];
    for (const SunMoonDisc& disc : light_.skies[use.sky].sky->direct())
        if (!add_disc_trail(shoot_.camera, take.settings, geometry_,
                            disc_legs(shoot_, disc, after_s, use.times),
                            *layer_of(take, {disc.body, LightWay::view}).trail, stop))
            return false;
    return add_stars(shoot_.camera, take.settings, geometry_, star_field(shoot_, after_s),
                     use.times, *layer_of(take, {LightSource::stars, LightWay::view}).trail, stop);
}

/// The films of one sky.
void PassExposure::share_sky(std::size_t sky, std::vector<SharedFilm>& shared) {
    SkyPass& pass = light_.skies[sky];
    const auto share = [&](LayerId layer, SkyLux light, Image& film) {
        const double scale = scale_of(first_use(sky), light);
        shared.push_back({sky, std::move(layer), std::move(light), scale,
                          std::make_shared<Image>(std::exchange(film, {}))});
    };
    share({LightSource::sky, LightWay::surface}, all_lx, pass.surface);
    share({LightSource::sky, LightWay::view}, all_lx, pass.view);
    for (std::size_t k = 0; k < pass.discs.size(); ++k) {
        const LightSource body = pass.sky->direct()[k].body;
        share({body, LightWay::surface}, disc_lx(body), pass.discs[k].film);
    }
}

/// Films of surfaces and sky: defocus goes with the f-number, so takes of one share what they
/// can, and all where nothing is out of focus. In lux seconds, so that a file of layers holds
/// the same numbers. Returns false if stopped.
bool PassExposure::hand_out_films(std::vector<ExposedTake>& takes, const std::stop_token& stop) {
    std::vector<SharedFilm> shared;
    for (std::size_t sky = 0; sky < light_.skies.size(); ++sky) share_sky(sky, shared);
    std::set<double> f_numbers;
    for (const PassUse& use : pass_.uses) f_numbers.insert(takes[use.take].settings.f_number);
    for (const double f_number : f_numbers) {
        const Defocus defocus(shoot_.camera, f_number, light_.depth);
        for (SharedFilm& film : shared) {
            if (stop.stop_requested()) return false;
            const bool last = f_number == *f_numbers.rbegin();
            hand_out_shared(takes, f_number, film, defocus, last);
            if (last) film.film.reset();
        }
        for (LampPass& lamp : light_.lamps) {
            ExposedTake& take = takes[lamp.take];
            if (take.settings.f_number != f_number) continue;
            if (stop.stop_requested()) return false;
            layer_of(take, lamp_layer(lamp.name, LightWay::surface))
                .films.push_back({drawn(defocus, std::move(lamp.film)), 1.0f});
        }
    }
    return true;
}

/// Seconds of a light as strong as when the shutter opens.
double PassExposure::lasting_s(const PassUse& use, const SkyLux& light) const {
    if (!shoot_.place) return total_s(use.times);
    return as_at_opening_s(shoot_, pass_.skies_after_s[use.sky], use.times, light);
}

/// What a use makes of a film of such light.
double PassExposure::scale_of(const PassUse& use, const SkyLux& light) const {
    return focal_plane_exposure_lxs(1.0, lasting_s(use, light), f_number_[use.take]);
}

/// A shared film, as defocus draws it, goes to the takes of an f-number. Where it is blurred for
/// the last of them and no take has it sharp, it is blurred in place.
void PassExposure::hand_out_shared(std::vector<ExposedTake>& takes, double f_number,
                                   SharedFilm& shared, const Defocus& defocus, bool is_last) const {
    if (shared.scale <= 0.0) return;
    std::shared_ptr<const Image> film;
    for (const PassUse& use : pass_.uses) {
        ExposedTake& take = takes[use.take];
        if (use.sky != shared.sky || take.settings.f_number != f_number) continue;
        if (!film && !defocus.visible()) {
            film = shared.film;
            shared.handed_out = true;
        } else if (!film) {
            film = is_last && !shared.handed_out ? drawn(defocus, std::move(*shared.film))
                                                 : drawn(defocus, *shared.film);
        }
        const auto scale = static_cast<float>(scale_of(use, shared.light) / shared.scale);
        layer_of(take, shared.layer).films.push_back({film, scale});
    }
}

}  // namespace lampflight
