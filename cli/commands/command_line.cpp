#include "cli/commands/command_line.h"

#include <optional>
#include <sstream>
#include <utility>
#include <vector>

#include <tbb/global_control.h>

#include <fmt/format.h>
#include <CLI/CLI.hpp>

#include "cli/commands/commands.h"
#include "cli/commands/help_page.h"
#include "cli/commands/shared_options.h"
#include "scene/basics/wording.h"

namespace lampflight {
namespace {

/// What to say of a word that has no place in the command.
Outcome unexpected(const CLI::App& app, const std::string& word) {
    const std::string help = fmt::format("(lampflight {} --help lists all)", app.get_name());
    if (word.size() < 2 || word.front() != '-')
        return wrong_words(fmt::format("one word too many: '{}' {}", word, help));
    std::vector<std::string> options;
    for (const CLI::Option* option : app.get_options())
        for (const std::string& name : option->get_lnames()) options.push_back("--" + name);
    const std::string name = word.substr(0, word.find('='));
    return wrong_words(
        fmt::format("{} has no option {}{} {}", app.get_name(), name, hint(name, options), help));
}

Outcome unknown_command(const std::string& word) {
    std::vector<std::string> names;
    for (const Command& command : commands()) names.emplace_back(command.name);
    return wrong_words(fmt::format("there is no command {}{} (lampflight --help lists all)",
                                   in_quotes(word), hint(word, names)));
}

/// Help, or what the parser found wrong.
Outcome outcome_of(const CLI::App& app, const CLI::ParseError& error) {
    std::ostringstream out;
    std::ostringstream notes;
    if (app.exit(error, out, notes) == 0) return {ExitCode::done, out.str(), ""};
    const auto chosen = app.get_subcommands();
    return wrong_words(fmt::format("{}; see 'lampflight {}--help'", error.what(),
                                   chosen.empty() ? "" : chosen.front()->get_name() + " "));
}

void set_page(CLI::App& app) {
    app.require_subcommand(0, 1);
    set_help(
        app, "lampflight COMMAND ...",
        "'lampflight COMMAND --help' tells more of each. Lines fit the terminal, or COLUMNS.\n"
        "Ends with 0 when done, 2 when the command line is wrong, 3 when the scene is wrong, 4 "
        "when a file can't be read or written, 5 when 'check --strict' finds a danger, 130 when "
        "interrupted; 1 is a fault in the program itself, or too little memory.\n\n"
        "Example:\n"
        "  lampflight start halo -o my-halo.toml\n"
        "  lampflight check my-halo.toml\n"
        "  lampflight render my-halo.toml -o my-halo.png");
}

}  // namespace

Outcome run_command_line(int argc, const char* const* argv, const Session& session) {
    CLI::App app("The long-exposure photograph of a flown lamp, before anyone flies.",
                 "lampflight");
    set_page(app);
    std::vector<std::pair<CLI::App*, RunCommand>> offered;
    for (const Command& command : commands()) {
        CLI::App* const added = app.add_subcommand(command.name, command.meaning);
        offered.emplace_back(added, command.offer(*added));
    }
    try {
        app.parse(argc, argv);
    } catch (const CLI::ParseError& error) {
        return outcome_of(app, error);
    }
    const auto extras = app.remaining();
    for (const auto& [command, run] : offered) {
        if (!command->parsed()) continue;
        if (!extras.empty()) return unexpected(app, extras.front());
        if (!command->remaining().empty())
            return unexpected(*command, command->remaining().front());
        std::optional<tbb::global_control> thread_limit;
        if (const auto threads = threads_asked_for(*command))
            thread_limit.emplace(tbb::global_control::max_allowed_parallelism, *threads);
        return run(session);
    }
    if (extras.empty()) return {ExitCode::wrong_command_line, "", app.help()};
    return unknown_command(extras.front());
}

}  // namespace lampflight
