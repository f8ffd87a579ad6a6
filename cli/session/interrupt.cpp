#include "cli/session/interrupt.h"

#include <pthread.h>
#include <unistd.h>
#include <csignal>
#include <thread>

#include "cli/session/outcome.h"
#include "cli/session/whole_file.h"

namespace lampflight {
namespace {

/// A blocked signal reaches sigwait even where the parent asked for it to be ignored (nohup, a
/// shell's background jobs), so ignored ones are left out.
sigset_t signals_to_watch() {
    sigset_t signals;
    sigemptyset(&signals);
    for (const int number : {SIGINT, SIGTERM, SIGHUP}) {
        struct sigaction action {};
        sigaction(number, nullptr, &action);
        if (action.sa_handler != SIG_IGN) sigaddset(&signals, number);
    }
    return signals;
}

void wait_for_signals(sigset_t signals, std::stop_source source) {
    int number = 0;
    while (sigwait(&signals, &number) == 0) {
        if (!source.request_stop()) {
            remove_unfinished_files();
            _exit(static_cast<int>(ExitCode::interrupted));
        }
    }
}

}  // namespace

std::stop_token watch_for_interrupts() {
    const sigset_t signals = signals_to_watch();
    pthread_sigmask(SIG_BLOCK, &signals, nullptr);
    std::stop_source source;
    std::thread(wait_for_signals, signals, source).detach();
    return source.get_token();
}

}  // namespace lampflight
