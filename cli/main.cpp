// lampflight: the long-exposure photograph of a flown lamp, before anyone flies.
#include <unistd.h>
#include <csignal>
#include <cstdio>
#include <exception>
#include <string_view>
#include <utility>

#include "cli/commands/command_line.h"
#include "cli/session/interrupt.h"

namespace {

using namespace lampflight;

bool print(std::FILE* stream, std::string_view text) {
    return std::fwrite(text.data(), 1, text.size(), stream) == text.size() &&
           std::fflush(stream) == 0;
}

Session make_session(std::stop_token stop) {
    Session session{std::move(stop), {}};
    if (isatty(STDERR_FILENO) != 0)
        session.show = [](std::string_view text) { print(stderr, text); };
    return session;
}

Outcome run_guarded(int argc, const char* const* argv, const Session& session) {
    try {
        return run_command_line(argc, argv, session);
    } catch (const std::bad_alloc&) {
        return failure(ExitCode::fault,
                       "not enough memory; close other programs, or try a smaller picture, fewer "
                       "takes or coarser meshes");
    } catch (const std::exception& error) {
        return failure(ExitCode::fault, std::string("a fault in the program: ") + error.what());
    }
}

/// A closed pipe and a limit on the size of files become errors of the write, which are told.
void hear_of_failed_writes() {
    std::signal(SIGPIPE, SIG_IGN);
    std::signal(SIGXFSZ, SIG_IGN);
}

}  // namespace

int main(int argc, char** argv) {
    hear_of_failed_writes();
    const InterruptWatch interrupts;
    const Session session = make_session(interrupts.stop());
    Outcome outcome = run_guarded(argc, argv, session);
    interrupts.leave_telling();
    if (!print(stdout, outcome.figures) && outcome.code == ExitCode::done)
        outcome = failure(ExitCode::file_trouble,
                          "can't write to standard output; is the disk full, or the pipe closed?");
    print(stderr, outcome.notes);
    return static_cast<int>(outcome.code);
}
