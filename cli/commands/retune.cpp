// `lampflight retune`: the photograph developed anew from a file of layers.
#include <algorithm>
#include <charconv>
#include <chrono>
#include <cmath>
#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include <fmt/format.h>
#include <CLI/CLI.hpp>

#include "cli/commands/commands.h"
#include "cli/commands/help_page.h"
#include "cli/commands/shared_options.h"
#include "cli/layers/read_layers.h"
#include "cli/pictures/picture_notes.h"
#include "cli/pictures/write_picture.h"
#include "cli/session/file_kind.h"
#include "cli/session/memory_bounds.h"
#include "cli/session/open_scene.h"
#include "cli/session/outputs.h"
#include "cli/session/picture_size.h"
#include "cli/session/whole_file.h"
#include "scene/basics/wording.h"
#include "scene/planning/retune.h"
#include "scene/reader/read_shoot.h"

namespace lampflight {
namespace {

/// "warm=+1.5" or "warm=off".
struct LampChange {
    std::string lamp;
    std::optional<double> stops;  ///< nothing for off
};

struct RetuneOptions {
    std::filesystem::path layers;
    std::filesystem::path picture;
    std::vector<Override> changes;
    std::vector<LampChange> lamps;
    bool clean = false;  ///< no noise of the sensor
    bool quiet = false;
    std::optional<double> memory_gb{};
};

constexpr const char* render_instead = "; render the scene with it instead";

Outcome damaged(const RetuneOptions& options, const std::string& what) {
    return failure(ExitCode::file_trouble,
                   fmt::format("can't use {}: {}", options.layers.string(), what));
}

/// Gives the camera the picture's pixels, where they have the shape of its frame.
Expected<Done> set_size(Shoot& shoot, const LayersFile& file, const RetuneOptions& options) {
    const glm::ivec2 pixels = file.manifest().pixels;
    if (!size_of_shape(shoot.camera.pixels, pixels))
        return damaged(options, "its picture has not the shape of its scene's frame");
    set_picture_size(shoot.camera, pixels);
    return Done{};
}

/// The shoot that was rendered. What is wrong with it, the file is to blame for.
Expected<Shoot> shoot_before(const LayersFile& file, const RetuneOptions& options) {
    const LayersManifest& manifest = file.manifest();
    Checked<Shoot> read = read_shoot(file.scene_text(), manifest.scene_name,
                                           manifest.changes, &manifest.path_files);
    if (const auto* problems = std::get_if<std::vector<Problem>>(&read))
        return damaged(options, "its scene can't be read: " + to_string(problems->front()));
    Shoot& shoot = std::get<Shoot>(read);
    if (const auto sized = set_size(shoot, file, options); !sized) return sized.failure();
    for (const TakeInFile& take : manifest.takes)
        if (!find_named(shoot.takes, take.name))
            return damaged(options, "its scene has no take " + in_quotes(take.name));
    if (manifest.takes.empty()) return damaged(options, "it holds no take");
    return std::move(shoot);
}

/// Those of the render, and those that are asked for now.
std::vector<Override> all_changes(const LayersFile& file, const RetuneOptions& options) {
    std::vector<Override> changes = file.manifest().changes;
    changes.insert(changes.end(), options.changes.begin(), options.changes.end());
    return changes;
}

Expected<Done> change_lamp(Shoot& shoot, const LampChange& change) {
    const auto lamp = std::ranges::find(shoot.lamps, change.lamp, &Lamp::name);
    if (lamp == shoot.lamps.end()) {
        std::vector<std::string> names;
        for (const Lamp& known : shoot.lamps) names.push_back(known.name);
        return failure(ExitCode::wrong_command_line,
                       "there is no lamp " + in_quotes(change.lamp) + hint(change.lamp, names));
    }
    if (change.stops) lamp->flux_lm *= std::exp2(*change.stops);
    return Done{};
}

/// The shoot as it is asked for now.
Expected<Shoot> shoot_after(const LayersFile& file, const RetuneOptions& options) {
    Checked<Shoot> read =
        read_shoot(file.scene_text(), file.manifest().scene_name, all_changes(file, options),
                   &file.manifest().path_files);
    if (const auto* problems = std::get_if<std::vector<Problem>>(&read))
        return wrong_scene(*problems, file.scene_text());
    Shoot& shoot = std::get<Shoot>(read);
    if (const auto sized = set_size(shoot, file, options); !sized) return sized.failure();
    for (const LampChange& change : options.lamps)
        if (const auto changed = change_lamp(shoot, change); !changed) return changed.failure();
    return std::move(shoot);
}

using ListedTakes = std::vector<const TakeInFile*>;

/// The photograph's takes if they are asked for, else those that were rendered.
Expected<ListedTakes> chosen_takes(const LayersFile& file, const Shoot& after,
                                   const RetuneOptions& options) {
    const std::vector<TakeInFile>& all = file.manifest().takes;
    ListedTakes chosen;
    if (std::ranges::find(options.changes, "photograph.takes", &Override::key) ==
        options.changes.end()) {
        for (const TakeInFile& take : all) chosen.push_back(&take);
        return chosen;
    }
    for (const std::string& name : after.photograph.takes) {
        const auto take = std::ranges::find(all, name, &TakeInFile::name);
        if (take == all.end())
            return failure(ExitCode::wrong_command_line,
                           fmt::format("take {} is not in {}{}", in_quotes(name),
                                       options.layers.string(), render_instead));
        chosen.push_back(&*take);
    }
    return chosen;
}

/// What a file's light is developed as.
struct Plan {
    Shoot before;
    Shoot after;
    ListedTakes takes;
};

Expected<Plan> planned(const LayersFile& file, const RetuneOptions& options) {
    for (const Override& change : options.changes)
        if (const auto trouble = trouble_with_retuning(change))
            return failure(ExitCode::wrong_command_line, *trouble + render_instead);
    auto before = shoot_before(file, options);
    if (!before) return before.failure();
    auto after = shoot_after(file, options);
    if (!after) return after.failure();
    auto takes = chosen_takes(file, *after, options);
    if (!takes) return takes.failure();
    return Plan{*std::move(before), *std::move(after), *std::move(takes)};
}

/// The takes with their light as it is asked for.
Expected<std::vector<ExposedTake>> read_takes(LayersFile& file, const Plan& plan,
                                              const RetuneOptions& options) {
    const Retuning retuning(plan.before, plan.after);
    for (const TakeInFile* listed : plan.takes)
        if (const auto trouble = retuning.trouble_with_take(listed->name))
            return failure(ExitCode::wrong_command_line, *trouble + render_instead);
    const auto is_out = [&](const std::string& lamp) {
        return std::ranges::any_of(options.lamps, [&](const LampChange& change) {
            return !change.stops && change.lamp == lamp;
        });
    };
    const auto gain_of = [&](const std::string& take,
                             const LayerId& layer) -> std::optional<glm::vec3> {
        if (is_out(layer.lamp)) return std::nullopt;
        const std::optional<Rgb> gain = retuning.gain(take, layer);
        if (!gain) return std::nullopt;
        return glm::vec3(*gain);
    };
    auto read = file.takes(plan.takes, gain_of);
    if (const auto* wrong = std::get_if<std::string>(&read)) return damaged(options, *wrong);
    auto& takes = std::get<std::vector<ExposedTake>>(read);
    for (ExposedTake& take : takes)
        take.settings = settings_of(plan.after, *find_named(plan.after.takes, take.name));
    return std::move(takes);
}

std::string sharpness_note(const Shoot& shoot, const Take& take, double had, double now) {
    const auto change = had == now ? std::nullopt : visible_change(shoot, take, had, now);
    if (!change) return "";
    const std::string where = std::isinf(change->depth_m)
                                  ? "the sky"
                                  : fmt::format("what stands {:.1f} m off", change->depth_m);
    return fmt::format(
        "note: take {} at f/{} instead of f/{}: the blur circle of {} is {:.1f} instead of "
        "{:.1f} pixels, the Airy disc {:.1f} instead of {:.1f}; the layers keep the focus blur "
        "of f/{}, so render again before you trust it\n",
        in_quotes(take.name), number_text(now), number_text(had), where, change->after.blur_px,
        change->before.blur_px, change->after.airy_px, change->before.airy_px, number_text(had));
}

/// What to mind about a take, as lines of text.
std::string notes_on(const TakeInFile& listed, const LayersFile& file, const Plan& plan) {
    const Take& take = *find_named(plan.after.takes, listed.name);
    const ExposureSettings had =
        settings_of(plan.before, *find_named(plan.before.takes, listed.name));
    const ExposureSettings now = settings_of(plan.after, take);
    std::string notes = sharpness_note(plan.after, take, had.f_number, now.f_number);
    constexpr double most_iso_of_half = 25600.0;
    if (now.iso > std::max(most_iso_of_half, had.iso) && file.is_half(listed))
        notes += fmt::format(
            "note: take {} at ISO {} may show the steps of half floats in its shadows; render "
            "with --float for layers without\n",
            in_quotes(take.name), number_text(now.iso));
    return notes;
}

/// What the picture says of itself: as a render with these values would.
PictureNotes notes_within(const LayersFile& file, const Plan& plan, const RetuneOptions& options,
                          Noise noise) {
    ExposeOptions like;
    like.settings = file.manifest().settings;
    like.scene.overrides = all_changes(file, options);
    for (const TakeInFile* take : plan.takes) like.takes.push_back(take->name);
    return picture_notes(plan.after, like, noise);
}

MemoryNeed memory_for(const Plan& plan, PictureKind kind) {
    std::vector<double> f_numbers, trail_pixels;
    for (const TakeInFile* listed : plan.takes) {
        f_numbers.push_back(
            settings_of(plan.after, *find_named(plan.after.takes, listed->name)).f_number);
        trail_pixels.push_back(0.0);
        for (const LayerInFile& layer : listed->layers)
            if (layer.trail)
                trail_pixels.back() += static_cast<double>(layer.trail->reached_pixels);
    }
    return memory_to_develop(plan.after, f_numbers, trail_pixels, bytes_of(kind), workshop_now());
}

/// 1 for want of memory, 2 for a change that needs a render, 3 for one that no scene allows, 4 for
/// files.
Outcome run_retune(const RetuneOptions& options, const Session& session) {
    const auto start = std::chrono::steady_clock::now();
    const auto kind = picture_kind(options.picture);
    if (!kind) return wrong_words(unknown_kind_text(options.picture));
    if (const auto fit =
            check_outputs({options.picture}, {{options.layers, "the file of layers itself"}});
        !fit)
        return fit.failure();
    auto opened = LayersFile::open(options.layers);
    if (const auto* wrong = std::get_if<std::string>(&opened))
        return failure(
            ExitCode::file_trouble,
            trouble_as_layers(options.layers)
                .value_or(fmt::format("can't read {}: {}", options.layers.string(), *wrong)));
    auto& file = std::get<LayersFile>(opened);
    const auto plan = planned(file, options);
    if (!plan) return plan.failure();
    if (const auto enough = check_memory(memory_for(*plan, *kind), options.memory_gb,
                                         "this file of layers",
                                         "render it at a smaller --size, or with fewer takes");
        !enough)
        return enough.failure();
    const auto takes = read_takes(file, *plan, options);
    if (!takes) return takes.failure();
    if (session.stop.stop_requested()) return interruption();

    const Noise noise = options.clean ? Noise::left_out : Noise::counted;
    const glm::ivec2 pixels = plan->after.camera.pixels;
    const auto bytes = picture_bytes(
        pixels, [&](const KeepRows& keep) { photograph(plan->after, *takes, noise, keep); }, *kind,
        notes_within(file, *plan, options, noise));
    if (!bytes) return bytes.failure();
    if (const auto written = write_whole_file(options.picture, *bytes, session.stop); !written)
        return written.failure();
    if (options.quiet) return {};
    std::string notes;
    for (const TakeInFile* listed : plan->takes) notes += notes_on(*listed, file, *plan);
    const std::chrono::duration<double> taken = std::chrono::steady_clock::now() - start;
    return {ExitCode::done, "",
            notes + fmt::format("{}: {} x {} pixels, {:.2f} s\n", options.picture.string(),
                                pixels.x, pixels.y, taken.count())};
}

struct RetuneWords {
    std::optional<double> memory_gb{};
    std::string layers, picture;
    std::vector<std::string> changes, lamps;
    bool clean = false, quiet = false;
};

Expected<LampChange> lamp_change_of(const std::string& text) {
    constexpr double most_stops = 20.0;
    const std::size_t equals = text.find('=');
    if (equals != std::string::npos && equals > 0) {
        const std::string value = text.substr(equals + 1);
        if (value == "off") return LampChange{text.substr(0, equals), std::nullopt};
        const std::string number = value.substr(value.starts_with('+') ? 1 : 0);
        double stops = 0.0;
        const auto [end, error] =
            std::from_chars(number.data(), number.data() + number.size(), stops);
        if (error == std::errc() && end == number.data() + number.size() &&
            std::abs(stops) <= most_stops)
            return LampChange{text.substr(0, equals), stops};
    }
    return wrong_words(
        fmt::format("--lamp can't be {}; give a lamp with stops, -{} to +{}, or off, as "
                    "in --lamp warm=+1.5 or --lamp warm=off",
                    in_quotes(text), most_stops, most_stops));
}

Expected<RetuneOptions> options_of(const RetuneWords& words) {
    if (words.layers.empty())
        return wrong_words(
            "name a file of layers, as in 'lampflight retune my-halo.exr -o iso800.png'; "
            "'lampflight render --layers' makes one");
    if (words.picture.empty()) return wrong_words("name the picture to write, as in -o iso800.png");
    auto changes = changes_of(words.changes);
    if (!changes) return changes.failure();
    RetuneOptions options{words.layers, words.picture, *std::move(changes),
                          {},           words.clean,   words.quiet,
                          words.memory_gb};
    for (const std::string& text : words.lamps) {
        const auto lamp = lamp_change_of(text);
        if (!lamp) return lamp.failure();
        options.lamps.push_back(*lamp);
    }
    return options;
}

}  // namespace

RunCommand offer_retune(CLI::App& app) {
    const auto words = std::make_shared<RetuneWords>();
    app.add_option("FILE", words->layers, "Layers that 'lampflight render --layers' wrote")
        ->option_text(" ");
    add_output_option(app, words->picture, "PICTURE", "Picture to write, as for render");
    add_changes_option(
        app, words->changes,
        "Change a key of the scene; may be repeated. ISO, f-number, white balance, sensor, the "
        "lens's glare, lamps' lumens, temperature and gel, a sky without a [place], takes and "
        "their blend can be retuned; others need a render");
    app.add_option("--lamp", words->lamps,
                   "A lamp so many stops stronger or weaker, or off, in all takes; may be "
                   "repeated")
        ->option_text("NAME=STOPS")
        ->allow_extra_args(false);
    add_clean_flag(app, words->clean);
    add_threads_option(app);
    add_memory_option(app, words->memory_gb);
    app.add_flag("--quiet", words->quiet, "Nothing but errors");
    set_help(app, "lampflight retune FILE -o PICTURE [options]",
             "Gives what a fresh render with the changes would. A change that moves light "
             "about is refused, with the reason; where another f-number would change sharpness "
             "visibly, a word says so.\n"
             "\n"
             "Example:\n"
             "  lampflight retune my-halo.exr -o iso800.png --set camera.iso=800\n"
             "  lampflight retune my-halo.exr -o gold.png --lamp warm=+1.5\n"
             "  lampflight retune my-halo.exr -o one.png --lamp cold=off\n"
             "  lampflight retune my-halo.exr -o f8.png --set camera.f_number=8");
    return [words](const Session& session) -> Outcome {
        const auto options = options_of(*words);
        return options ? run_retune(*options, session) : options.failure();
    };
}

}  // namespace lampflight
