// The program itself, in a process of its own.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "tests/benchmark/stopwatch.h"

namespace lampflight::bench {

struct Ended {
    Spent spent;
    double peak_mb;
};

/// Runs a command by itself; nothing if it fails.
std::optional<Ended> run_alone(std::vector<std::string> words);

}  // namespace lampflight::bench
