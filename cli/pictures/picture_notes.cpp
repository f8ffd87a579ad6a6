#include "cli/pictures/picture_notes.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include "cli/session/quality_words.h"
#include "scene/basics/wording.h"
#include "scene/keys/key_table.h"

namespace lampflight {
namespace {

constexpr std::size_t longest_title = 1000;

std::string camera_line(const Camera& camera) {
    std::string line = fmt::format(
        "Camera: {} x {} mm, {} mm lens focused at {} m, white balance {} K", camera.sensor_mm.x,
        camera.sensor_mm.y, camera.focal_mm, camera.focus_m, camera.white_balance_k);
    if (camera.white_balance_duv != 0.0)
        line += fmt::format(", Duv {:+}", camera.white_balance_duv);
    return line + "\n";
}

std::string colour_text(const Lamp& lamp) {
    if (lamp.chromaticity_xy)
        return fmt::format("x {} y {}", lamp.chromaticity_xy->x, lamp.chromaticity_xy->y);
    if (lamp.dominant_nm)
        return fmt::format("{} nm of purity {}", *lamp.dominant_nm, lamp.purity);
    return fmt::format("{} K", lamp.temperature_k);
}

std::string lamp_line(const Lamp& lamp) {
    std::string line = fmt::format("Lamp {}: {} lm, beam {} deg, {}", lamp.name, lamp.flux_lm,
                                   lamp.beam_deg, colour_text(lamp));
    if (lamp.gel.shift_mired != 0.0 || lamp.gel.transmission != 1.0)
        line += fmt::format(", gel {:+} mired that passes {}", lamp.gel.shift_mired,
                            lamp.gel.transmission);
    return line + "\n";
}

std::string take_line(const Shoot& shoot, const Take& take) {
    const ExposureSettings settings = settings_of(shoot, take);
    std::string line = fmt::format("Take {}: f/{}, ISO {}, {} s", take.name, settings.f_number,
                                   settings.iso, settings.shutter_s);
    if (!take.flights.empty()) line += fmt::format(", flights {}", fmt::join(take.flights, ", "));
    for (const auto& [lamp, stops] : take.lamp_stops)
        line += fmt::format(", {} {:+} stops", lamp, stops);
    return line + "\n";
}

std::string takes_lines(const Shoot& shoot, const ExposeOptions& options) {
    std::string lines;
    for (const std::string& name : options.takes.empty() ? shoot.photograph.takes : options.takes)
        if (const Take* take = find_named(shoot.takes, name)) lines += take_line(shoot, *take);
    return lines;
}

bool tells_place(const Override& change) {
    return change.key.starts_with("place") || change.key == "title";
}

std::string changes_lines(const std::vector<Override>& changes) {
    std::string lines;
    for (const Override& change : changes)
        if (!tells_place(change))
            lines += printable(fmt::format("Changed: {} = {}", change.key, change.value),
                               longest_title) +
                     "\n";
    return lines;
}

}  // namespace

PictureNotes picture_notes(const Shoot& shoot, const ExposeOptions& options, Noise noise) {
    std::string settings = camera_line(shoot.camera);
    for (const Lamp& lamp : shoot.lamps) settings += lamp_line(lamp);
    settings += takes_lines(shoot, options);
    settings += fmt::format("Blend: {}\n",
                            words_of<Blend>.at(static_cast<std::size_t>(shoot.photograph.blend)));
    settings += fmt::format("Quality: {}, bounces {}, ", word_of(options.settings.quality),
                            options.settings.bounces);
    settings += noise == Noise::left_out
                    ? "without noise\n"
                    : fmt::format("noise seed {}\n", shoot.photograph.noise_seed);
    if (shoot.go > 1) settings += fmt::format("Go: {}\n", shoot.go);
    settings += changes_lines(options.scene.overrides);
    return {printable(shoot.title, longest_title), "Lampflight " LAMPFLIGHT_VERSION,
            std::move(settings)};
}

}  // namespace lampflight
