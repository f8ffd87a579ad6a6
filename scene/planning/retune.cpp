#include "scene/planning/retune.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <string_view>

#include <fmt/format.h>

#include "scene/basics/colour.h"
#include "scene/basics/names.h"
#include "scene/basics/wording.h"
#include "scene/camera/depth_of_field.h"
#include "scene/keys/key_table.h"
#include "scene/shoot/lit_lamp.h"
#include "scene/shoot/presence.h"

namespace lampflight {
namespace {

/// A key as it is in the table of keys, from an override's: without the name of a list's entry.
struct KeyPath {
    std::string table;
    std::string key;
};

KeyPath path_of(const std::string& key) {
    const std::size_t dot = key.find('.');
    if (dot == std::string::npos) return {"", key};
    KeyPath path{key.substr(0, dot), key.substr(dot + 1)};
    const TableKind* kind = find_table_kind(path.table);
    // An entry without a name is called by its table alone.
    if (kind && kind->is_list() && !find_key(path.table, path.key)) {
        const std::size_t next = path.key.find('.');
        path.key = next == std::string::npos ? "" : path.key.substr(next + 1);
    }
    return path;
}

/// What a change of keys comes to. A key with nothing to say can be followed.
struct Rule {
    std::string_view table;
    std::string_view key;  ///< with all that it holds; empty for every other key of the table
    std::string_view reason;
};

constexpr std::string_view moves_view = "it moves what the lens sees";
constexpr std::string_view bends_beam = "it changes where the lamp's light falls";

// The first that fits counts.
constexpr Rule rules[]{
    {"", "title", ""},
    {"place", "declination_deg", ""},
    {"place", "ceiling_m", ""},
    {"place", "", "sun, moon, stars and sky stand elsewhere then"},
    {"sky", "horizontal_lx", ""},
    {"sky", "", "it changes how the sky's light lies over the frame"},
    {"ground", "", "the ground is part of what the light fell on"},
    {"camera", "iso", ""},
    {"camera", "f_number", ""},
    {"camera", "shutter_s", ""},
    {"camera", "dark_frame", ""},
    {"camera", "white_balance_k", ""},
    {"camera", "white_balance_duv", ""},
    {"camera", "sensor", ""},
    {"camera", "lens.transmission", ""},
    {"camera", "lens.blades", ""},
    {"camera", "lens.open_f_number", ""},
    {"camera", "lens.glare_share", ""},
    {"camera", "lens.glare_falloff", ""},
    {"camera", "lens.distortion", "it moves every point of the picture"},
    {"camera", "lens.corner_stops", "the corners' falloff is in the layers already"},
    {"camera", "focus_m", "the blur of what is out of focus is in the layers already"},
    {"camera", "pixels", "the layers have the picture's own pixels"},
    {"camera", "sensor_mm", "it changes what the frame holds"},
    {"camera", "focal_mm", "it changes what the frame holds"},
    {"camera", "lens", "it is a whole table; name one of its keys"},
    {"camera", "", moves_view},
    {"subject", "takes_part", ""},
    {"subject", "", "subjects are part of what the light fell on"},
    {"lamp", "flux_lm", ""},
    {"lamp", "temperature_k", ""},
    {"lamp", "dominant_nm", ""},
    {"lamp", "purity", ""},
    {"lamp", "chromaticity_xy", ""},
    {"lamp", "gel", ""},
    {"lamp", "face_mm", "it changes the width of the trail"},
    {"lamp", "lit_s", "it changes where the trail runs"},
    {"lamp", "pulse", "it changes where the trail runs"},
    {"lamp", "", bends_beam},
    {"drone", "payload_kg", ""},
    {"drone", "endurance_min", ""},
    {"drone", "loaded_endurance_min", ""},
    {"drone", "reserve", ""},
    {"drone", "transit_m_s", ""},
    {"drone", "reset_s", ""},
    {"drone", "top_wind_m_s", ""},
    {"drone", "return_height_m", ""},
    {"drone", "own_lights", ""},
    {"drone", "lights.flux_lm", ""},
    {"drone", "lights.left", ""},
    {"drone", "lights.right", ""},
    {"drone", "lights.behind", ""},
    {"drone", "beacon.flux_lm", ""},
    {"drone", "beacon.colour", ""},
    {"drone", "beacon", "it changes where the trail runs"},
    {"drone", "", "it changes how the lamps fly"},
    {"flight", "gap_m", ""},
    {"flight", "", "it changes where the lamps fly"},
    {"waypoint", "", "it changes where the lamps fly"},
    {"stretch", "", "it changes where the lamps burn and point"},
    {"point", "", "points are metered, not developed"},
    {"take", "lamp_stops", ""},
    {"take", "iso", ""},
    {"take", "f_number", ""},
    {"take", "shutter_s", ""},
    {"take", "lamps", ""},
    {"take", "", "it changes what the take's light fell on"},
    {"photograph", "", ""},
    {"air", "visibility_km", "it changes how the light reaches the lens"},
    {"air", "", "it changes how the lamps fly"},
};

bool holds(std::string_view outer, std::string_view key) {
    return key == outer || (key.starts_with(outer) && key.substr(outer.size()).starts_with('.'));
}

/// Linear Rec. 709 of all that a lamp sends in a take, in lumens.
Rgb light_of(const Lamp& lamp, const Take& take) {
    return lamp.flux_lm * lamp.gel.transmission * flux_scale(take, lamp) * lamp_colour(lamp);
}

/// By how much each colour of a light has grown; what was dark and is, stays.
Rgb growth(const Rgb& had, const Rgb& wanted) {
    Rgb ratio(1.0);
    for (int colour = 0; colour < 3; ++colour)
        if (had[colour] > 0.0) ratio[colour] = wanted[colour] / had[colour];
    return ratio;
}

/// Why a light can't be had from another; `who` stands for its source.
std::optional<std::string> missing_colour(const std::string& who, const Rgb& had,
                                          const Rgb& wanted) {
    constexpr std::array colours{"red", "green", "blue"};
    for (int colour = 0; colour < 3; ++colour)
        if (!(had[colour] > 0.0) && wanted[colour] > 0.0)
            return fmt::format("{} had no {} light that could be made more", who,
                               colours[static_cast<std::size_t>(colour)]);
    return std::nullopt;
}

/// What in a take does not follow the shutter as the light of sky and standing lamps does.
std::optional<std::string> unsteady_light(const Shoot& shoot, const Take& take) {
    if (shoot.place) return "the sky moves on and stars draw their arcs while it is open";
    for (const LitLamp& lit : lit_lamps(shoot, take)) {
        if (lit.flies())
            return fmt::format("the trail of {} does not follow it as the sky does",
                               in_quotes(lit.lamp->name));
        if (lit.lamp->lit_s || lit.lamp->pulse.per_minute)
            return fmt::format("{} does not burn all the time", in_quotes(lit.lamp->name));
    }
    for (const std::size_t place : present_subjects(shoot, take))
        if (const Subject& subject = shoot.subjects[place]; subject.present_s)
            return fmt::format("{} comes and goes while it is open", in_quotes(subject.name));
    return std::nullopt;
}

/// Depth of the ground at the lower edge of the frame; nothing where there is none.
std::optional<double> nearest_ground_m(const Camera& camera) {
    const Projection projection(camera);
    const Vec3 below = projection.direction({0.5 * camera.pixels.x, 1.0 * camera.pixels.y});
    if (below.z >= 0.0) return std::nullopt;
    return projection.depth_m(camera.position_m - below * (camera.position_m.z / below.z));
}

double width_px(const Sharpness& sharpness) {
    return std::hypot(sharpness.blur_px, sharpness.airy_px);
}

}  // namespace

std::optional<std::string> trouble_with_retuning(const Override& change) {
    const KeyPath path = path_of(change.key);
    for (const Rule& rule : rules) {
        if (rule.table != path.table || (!rule.key.empty() && !holds(rule.key, path.key))) continue;
        if (rule.reason.empty()) return std::nullopt;
        return fmt::format("{} can't be retuned: {}", printable(change.key, 80), rule.reason);
    }
    return std::nullopt;
}

Retuning::Retuning(const Shoot& before, const Shoot& after)
    : before_(before), after_(after), lit_before_(lit_in(before)), lit_after_(lit_in(after)) {}

Retuning::LitByTake Retuning::lit_in(const Shoot& shoot) {
    LitByTake by_take;
    for (const Take& take : shoot.takes) {
        std::vector<std::string>& names = by_take[take.name];
        for (const LitLamp& lit : lit_lamps(shoot, take)) names.push_back(lit.lamp->name);
    }
    return by_take;
}

std::optional<std::string> Retuning::trouble_with_take(const std::string& name) const {
    const Take& before = *find_named(before_.takes, name);
    const Take& after = *find_named(after_.takes, name);
    const std::vector<std::string>& lit = lit_after_.at(name);
    for (const std::string& lamp : lit)
        if (!contains(lit_before_.at(name), lamp))
            return fmt::format("{} was dark in take {}; there is no light of it to take up",
                               in_quotes(lamp), in_quotes(name));
    if (settings_of(before_, before).shutter_s != settings_of(after_, after).shutter_s)
        if (const auto unsteady = unsteady_light(before_, before))
            return fmt::format("the shutter of take {} can't be retuned: {}", in_quotes(name),
                               *unsteady);
    for (const std::string& lamp : lit)
        if (auto missing =
                missing_colour(in_quotes(lamp), light_of(*find_named(before_.lamps, lamp), before),
                               light_of(*find_named(after_.lamps, lamp), after)))
            return missing;
    if (!before_.place && before_.sky.horizontal_lx == 0.0 && after_.sky.horizontal_lx > 0.0)
        return "the sky was black; there is no light of it to take up";
    return std::nullopt;
}

std::optional<Rgb> Retuning::gain(const std::string& name, const LayerId& layer) const {
    const Take& before = *find_named(before_.takes, name);
    const Take& after = *find_named(after_.takes, name);
    const ExposureSettings had = settings_of(before_, before);
    const ExposureSettings wanted = settings_of(after_, after);
    const double all = focal_plane_exposure_lxs(1.0, wanted.shutter_s, wanted.f_number) /
                       focal_plane_exposure_lxs(1.0, had.shutter_s, had.f_number) *
                       (after_.camera.lens.transmission / before_.camera.lens.transmission);
    if (layer.source == LightSource::sky && !before_.place)
        return Rgb(all) * growth(Rgb(before_.sky.horizontal_lx), Rgb(after_.sky.horizontal_lx));
    const Lamp* lamp =
        layer.source == LightSource::lamp ? find_named(before_.lamps, layer.lamp) : nullptr;
    if (!lamp) return Rgb(all);
    if (!contains(lit_after_.at(name), lamp->name)) return std::nullopt;
    return all *
           growth(light_of(*lamp, before), light_of(*find_named(after_.lamps, lamp->name), after));
}

Sharpness sharpness_at(const Camera& camera, double f_number, double depth_m) {
    const double blur_mm = std::abs(blur_circle_mm(camera, f_number, depth_m));
    constexpr double wavelength_mm = 550e-6;
    const double airy_mm = 2.44 * wavelength_mm * f_number;
    const double pitch_mm = pixel_pitch_mm(camera).x;
    return {blur_mm / pitch_mm, airy_mm / pitch_mm};
}

std::optional<SharpnessChange> visible_change(const Shoot& shoot, const Take& take,
                                              double f_number_before, double f_number_after) {
    std::vector<double> depths_m{std::numeric_limits<double>::infinity()};
    const Projection projection(shoot.camera);
    for (const std::size_t place : present_subjects(shoot, take))
        if (const double depth_m = projection.depth_m(shoot.subjects[place].position_m);
            depth_m > 0.1)
            depths_m.push_back(depth_m);
    if (const auto ground_m = nearest_ground_m(shoot.camera)) depths_m.push_back(*ground_m);
    constexpr double seen_px = 0.5;
    double most_px = seen_px;
    std::optional<SharpnessChange> worst;
    for (const double depth_m : depths_m) {
        const SharpnessChange change{depth_m, sharpness_at(shoot.camera, f_number_before, depth_m),
                                     sharpness_at(shoot.camera, f_number_after, depth_m)};
        const double change_px = std::abs(width_px(change.after) - width_px(change.before));
        if (change_px > most_px) {
            most_px = change_px;
            worst = change;
        }
    }
    return worst;
}

}  // namespace lampflight
