#include "cli/session/interrupt.h"

#include <pthread.h>
#include <unistd.h>
#include <csignal>
#include <ctime>
#include <mutex>
#include <string>
#include <thread>
#include <vector>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include "cli/session/outcome.h"
#include "cli/session/whole_file.h"

namespace lampflight {
namespace {

constexpr timespec grace{0, 250'000'000};

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

[[noreturn]] void end_at_once(std::string text) {
    // A terminal has shown ^C in the line of the progress.
    if (!text.empty() && isatty(STDERR_FILENO) != 0) text.insert(0, 1, '\n');
    [[maybe_unused]] const ssize_t told = ::write(STDERR_FILENO, text.data(), text.size());
    _exit(static_cast<int>(ExitCode::interrupted));
}

}  // namespace

struct InterruptWatch::Shared {
    std::stop_source source;
    std::mutex mutex;
    bool telling = true;

    void wait_for(sigset_t signals) {
        int number = 0;
        if (sigwait(&signals, &number) != 0) return;
        source.request_stop();
        sigtimedwait(&signals, nullptr, &grace);
        {
            // Kept to the end where the watch tells: the work must not tell as well.
            const std::lock_guard lock(mutex);
            if (telling) {
                const std::vector<std::string> written = give_up_writing();
                end_at_once(interruption(fmt::format("{}", fmt::join(written, ", "))).notes);
            }
        }
        sigtimedwait(&signals, nullptr, &grace);
        give_up_writing();
        end_at_once("");
    }
};

InterruptWatch::InterruptWatch() : shared_(std::make_shared<Shared>()) {
    const sigset_t signals = signals_to_watch();
    pthread_sigmask(SIG_BLOCK, &signals, nullptr);
    std::thread([shared = shared_, signals] { shared->wait_for(signals); }).detach();
}

std::stop_token InterruptWatch::stop() const {
    return shared_->source.get_token();
}

void InterruptWatch::leave_telling() const {
    const std::lock_guard lock(shared_->mutex);
    shared_->telling = false;
}

}  // namespace lampflight
