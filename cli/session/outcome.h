// What a command leaves behind for the main function: text for the two outputs and an exit code.
#pragma once

#include <functional>
#include <stop_token>
#include <string>
#include <string_view>
#include <utility>

namespace lampflight {

enum class ExitCode : int {
    done = 0,
    fault = 1,  ///< the program itself failed, for want of memory for example
    wrong_command_line = 2,
    wrong_scene = 3,
    file_trouble = 4,  ///< a file can't be read or written
    danger = 5,        ///< of `check --strict`, which found one
    interrupted = 130,
};

struct Outcome {
    ExitCode code = ExitCode::done;
    std::string figures;  ///< for standard output
    std::string notes;    ///< for standard error
};

/// A failure: the message says what is wrong and what to do next.
inline Outcome failure(ExitCode code, const std::string& message) {
    return {code, "", "lampflight: " + message + "\n"};
}

/// With the names of files that were whole before.
inline Outcome interruption(const std::string& written = "") {
    return failure(ExitCode::interrupted, written.empty()
                                              ? "interrupted; nothing was written"
                                              : "interrupted; written before: " + written);
}

/// What a command may use of the world around it while it works.
struct Session {
    std::stop_token stop;
    /// Shows text on the terminal at once; empty where nobody watches.
    std::function<void(std::string_view)> show;
};

}  // namespace lampflight
