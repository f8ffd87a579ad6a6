// Ctrl-C and its kin, taken in an ordinary thread so that cleaning up is plain code.
#pragma once

#include <stop_token>

namespace lampflight {

/// Blocks SIGINT, SIGTERM and SIGHUP in this thread and all that it starts later, and waits for
/// them in a thread of its own. The first one asks the returned token's holders to stop; a second
/// one removes unfinished files and ends the program with 130. Signals that the parent had set to
/// be ignored stay ignored. Call once, before any other thread exists.
std::stop_token watch_for_interrupts();

}  // namespace lampflight
