// The words of the command line, read into the options of one command.
#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "cli/check_command.h"
#include "cli/dusk_command.h"
#include "cli/keys_command.h"
#include "cli/meter_command.h"
#include "cli/render_command.h"
#include "cli/retune_command.h"
#include "cli/start_command.h"

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
