// Time on the clock and of all processors together.
#pragma once

#include <sys/resource.h>

#include <chrono>

namespace lampflight::bench {

struct Spent {
    double wall_s = 0.0;
    double cpu_s = 0.0;
};

inline double seconds_of(const timeval& time) {
    return static_cast<double>(time.tv_sec) + 1e-6 * static_cast<double>(time.tv_usec);
}

inline double cpu_s_of(const rusage& usage) {
    return seconds_of(usage.ru_utime) + seconds_of(usage.ru_stime);
}

/// Peak memory in MB; Linux counts it in kB.
inline double peak_mb_of(const rusage& usage) {
    return static_cast<double>(usage.ru_maxrss) / 1024.0;
}

inline rusage own_usage() {
    rusage usage{};
    getrusage(RUSAGE_SELF, &usage);
    return usage;
}

class Stopwatch {
public:
    Spent spent() const {
        const std::chrono::duration<double> wall = std::chrono::steady_clock::now() - start_;
        return {wall.count(), cpu_s_of(own_usage()) - start_cpu_s_};
    }

private:
    std::chrono::steady_clock::time_point start_ = std::chrono::steady_clock::now();
    double start_cpu_s_ = cpu_s_of(own_usage());
};

}  // namespace lampflight::bench
