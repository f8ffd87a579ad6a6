// Ctrl-C and its kin, taken in an ordinary thread so that cleaning up is plain code.
#pragma once

#include <memory>
#include <stop_token>

namespace lampflight {

/// Blocks SIGINT, SIGTERM and SIGHUP in this thread and all that it starts later, and waits for
/// them in a thread of its own. The first one asks the token's holders to stop. Where they take
/// longer than a quarter of a second, or a second one comes, it removes unfinished files, says what
/// was written before and ends the program with 130: so no stage of the work has to be quick to
/// hear. Signals that the parent had set to be ignored stay ignored. Make it once, before any other
/// thread exists.
class InterruptWatch {
public:
    InterruptWatch();

    std::stop_token stop() const;

    /// The work is done, and the caller tells of it: the watch says nothing any more, and ends the
    /// program only where that text finds no taker. Waits for ever where the watch was first.
    void leave_telling() const;

private:
    struct Shared;
    std::shared_ptr<Shared> shared_;
};

}  // namespace lampflight
