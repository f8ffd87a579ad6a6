// One lighting of a film under Google Benchmark's clock and our own.
#pragma once

#include <benchmark/benchmark.h>

#include "tests/benchmark/lamp_layer.h"
#include "tests/benchmark/stopwatch.h"

namespace lampflight::bench {

/// How all are timed: by the clock with all cores, and the processors' time beside it.
inline void time_by_clock(benchmark::internal::Benchmark* registered) {
    registered->Unit(benchmark::kMillisecond)
        ->UseRealTime()
        ->MeasureProcessCPUTime()
        ->MinTime(0.25);
}

/// Runs `work` as often as the state wants; what one run took.
template <class Work>
Spent timed(benchmark::State& state, Work work) {
    const Stopwatch watch;
    for (auto _ : state) work();
    const Spent all = watch.spent();
    const auto runs = static_cast<double>(state.iterations());
    return {all.wall_s / runs, all.cpu_s / runs};
}

inline Spent scaled(const Spent& spent, double factor) {
    return {factor * spent.wall_s, factor * spent.cpu_s};
}

}  // namespace lampflight::bench
