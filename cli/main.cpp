// lampflight: the long-exposure photograph of a flown lamp, before anyone flies.
#include <unistd.h>
#include <cstdio>
#include <exception>
#include <optional>
#include <string_view>
#include <type_traits>
#include <variant>

#include <tbb/global_control.h>

#include "cli/commands/command_line.h"
#include "cli/session/heap_at_hand.h"
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

Outcome run(const CommandLine& line, const Session& session) {
    std::optional<tbb::global_control> thread_limit;
    if (line.threads)
        thread_limit.emplace(tbb::global_control::max_allowed_parallelism,
                             static_cast<std::size_t>(*line.threads));
    return std::visit(
        [&session](const auto& options) {
            using Options = std::decay_t<decltype(options)>;
            if constexpr (std::is_same_v<Options, StartOptions>) return run_start(options, session);
            if constexpr (std::is_same_v<Options, CheckOptions>) return run_check(options);
            if constexpr (std::is_same_v<Options, DuskOptions>) return run_dusk(options, session);
            if constexpr (std::is_same_v<Options, RenderOptions>)
                return run_render(options, session);
            if constexpr (std::is_same_v<Options, RetuneOptions>)
                return run_retune(options, session);
            if constexpr (std::is_same_v<Options, MeterOptions>) return run_meter(options, session);
            if constexpr (std::is_same_v<Options, KeysOptions>) return run_keys(options);
        },
        line.command);
}

Outcome run_guarded(int argc, const char* const* argv, const Session& session) {
    try {
        const auto parsed = parse_command_line(argc, argv);
        if (const auto* outcome = std::get_if<Outcome>(&parsed)) return *outcome;
        return run(std::get<CommandLine>(parsed), session);
    } catch (const std::bad_alloc&) {
        return failure(ExitCode::fault, "not enough memory; try a smaller --size");
    } catch (const std::exception& error) {
        return failure(ExitCode::fault, std::string("a fault in the program: ") + error.what());
    }
}

}  // namespace

int main(int argc, char** argv) {
    keep_heap_at_hand();
    const Session session = make_session(watch_for_interrupts());
    Outcome outcome = run_guarded(argc, argv, session);
    if (!print(stdout, outcome.figures) && outcome.code == ExitCode::done)
        outcome = failure(ExitCode::file_trouble,
                          "can't write to standard output; is the disk full, or the pipe closed?");
    print(stderr, outcome.notes);
    return static_cast<int>(outcome.code);
}
