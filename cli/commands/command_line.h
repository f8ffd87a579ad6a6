// The words of the command line, read into the options of one command.
#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "cli/commands/check.h"
#include "cli/commands/dusk.h"
#include "cli/commands/keys.h"
#include "cli/commands/meter.h"
#include "cli/commands/render.h"
#include "cli/commands/retune.h"
#include "cli/commands/start.h"

namespace lampflight {

struct CommandLine {
    std::variant<StartOptions, CheckOptions, DuskOptions, RenderOptions, RetuneOptions,
                 MeterOptions, KeysOptions>
        command;
    std::optional<int> threads;  ///< all of the machine's when absent
};

/// The command, or what to print at once: help, or what is wrong with the words.
std::variant<CommandLine, Outcome> parse_command_line(int argc, const char* const* argv);

}  // namespace lampflight
