// The words of the command line: which command they name, and what is wrong with them.
#pragma once

#include "cli/session/outcome.h"

namespace lampflight {

/// Runs the command that the words ask for, with as many threads as they say; 2 for words that no
/// command knows, with the nearest right one.
Outcome run_command_line(int argc, const char* const* argv, const Session& session);

}  // namespace lampflight
