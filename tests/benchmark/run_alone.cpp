#include "tests/benchmark/run_alone.h"

#include <spawn.h>
#include <sys/wait.h>

extern char** environ;

namespace lampflight::bench {

std::optional<Ended> run_alone(std::vector<std::string> words) {
    std::vector<char*> arguments;
    for (std::string& word : words) arguments.push_back(word.data());
    arguments.push_back(nullptr);
    const Stopwatch watch;
    pid_t child = 0;
    if (posix_spawn(&child, words.front().c_str(), nullptr, nullptr, arguments.data(), environ) !=
        0)
        return std::nullopt;
    int status = 0;
    rusage usage{};
    if (wait4(child, &status, 0, &usage) != child || status != 0) return std::nullopt;
    return Ended{{watch.spent().wall_s, cpu_s_of(usage)}, peak_mb_of(usage)};
}

}  // namespace lampflight::bench
