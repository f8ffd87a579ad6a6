// All that the program can be asked for: one file a command, one row in the list.
#pragma once

#include <functional>
#include <span>

#include "cli/session/outcome.h"

namespace CLI {
class App;
}

namespace lampflight {

/// Reads a command's words into its options and does the work.
using RunCommand = std::function<Outcome(const Session&)>;

struct Command {
    const char* name;
    const char* meaning;  ///< one line of help
    /// Adds the command's words and help page, and gives what runs it once they are parsed.
    RunCommand (*offer)(CLI::App& app);
};

/// In the order of the help page.
std::span<const Command> commands();

RunCommand offer_start(CLI::App& app);
RunCommand offer_check(CLI::App& app);
RunCommand offer_dusk(CLI::App& app);
RunCommand offer_render(CLI::App& app);
RunCommand offer_retune(CLI::App& app);
RunCommand offer_meter(CLI::App& app);
RunCommand offer_path(CLI::App& app);
RunCommand offer_keys(CLI::App& app);

}  // namespace lampflight
