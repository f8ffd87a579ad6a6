// What `lampflight retune` offers, and its words as options.
#include <charconv>
#include <cmath>
#include <memory>

#include <fmt/format.h>
#include <CLI/CLI.hpp>

#include "cli/commands/commands.h"
#include "cli/commands/retune.h"
#include "cli/commands/shared_options.h"
#include "scene/basics/wording.h"

namespace lampflight {
namespace {

struct RetuneWords {
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
                          {},           words.clean,   words.quiet};
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
    app.add_flag("--quiet", words->quiet, "Nothing but errors");
    set_help(app, "lampflight retune FILE -o PICTURE [options]",
             "Example: lampflight retune my-halo.exr -o iso800.png --set camera.iso=800\n"
             "         lampflight retune my-halo.exr -o gold.png --lamp warm=+1.5 --lamp cold=off\n"
             "         lampflight retune my-halo.exr -o f8.png --set camera.f_number=8 --set "
             "photograph.blend=add");
    return [words](const Session& session) -> Outcome {
        const auto options = options_of(*words);
        return options ? run_retune(*options, session) : options.failure();
    };
}

}  // namespace lampflight
