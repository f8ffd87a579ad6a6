#include "tests/drawn_values.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace lampflight {

double drawn_number(Lots& lots, const Range& range) {
    const double low = std::max(range.low, -1e6);
    const double high = std::min(range.high, 1e6);
    const double first = range.above_low ? std::nextafter(low, high) : low;
    if (range.also && lots.chance(0.3)) return *range.also;
    const double way = lots.unit();
    if (way < 0.05) return first;
    if (way < 0.1) return high;
    if (way < 0.13) return std::clamp(lots.chance(0.5) ? 1e-9 : -1e-9, first, high);
    if (way < 0.3) return std::clamp(lots.between(low, high), first, high);
    if (low > 0.0) return std::clamp(low * std::pow(high / low, lots.unit()), first, high);
    const double size = std::pow(10.0, lots.between(-2.0, std::min(2.0, std::log10(high))));
    return std::clamp(low < 0.0 && lots.chance(0.5) ? -size : size, first, high);
}

std::string drawn_place(Lots& lots, const Range& range) {
    std::array<double, 3> at{};
    for (double& along : at)
        along = lots.chance(0.9) ? lots.between(-15.0, 15.0) : drawn_number(lots, range);
    if (lots.chance(0.9)) at[2] = std::abs(at[2]);
    return fmt::format("[{}, {}, {}]", at[0], at[1], at[2]);
}

std::string drawn_numbers(Lots& lots, const Range& range, int count) {
    std::vector<double> numbers;
    for (int i = 0; i < count; ++i) numbers.push_back(drawn_number(lots, range));
    return fmt::format("[{}]", fmt::join(numbers, ", "));
}

std::string drawn_windows(Lots& lots) {
    std::vector<std::string> windows;
    double now_s = lots.chance(0.3) ? 0.0 : lots.between(0.0, 5.0);
    for (std::size_t i = 0; i <= lots.below(4); ++i) {
        const double to_s =
            lots.chance(0.1) ? 3600.0 : now_s + std::pow(10.0, lots.between(-4.0, 1.2));
        windows.push_back(fmt::format("[{}, {}]", now_s, to_s));
        if (to_s >= 3600.0) break;
        now_s = to_s + (lots.chance(0.2) ? 0.0 : lots.between(0.0, 4.0));
    }
    return fmt::format("[{}]", fmt::join(windows, ", "));
}

std::string drawn_moment(Lots& lots) {
    const std::size_t year = lots.chance(0.1) ? lots.pick(std::array<std::size_t, 2>{1900, 2100})
                                              : 1900 + lots.below(201);
    const std::string offset =
        lots.chance(0.4) ? "Z"
                         : fmt::format("{}{:02}:00", lots.chance(0.5) ? '+' : '-', lots.below(13));
    return fmt::format("{}-{:02}-{:02}T{:02}:{:02}:{:02}{}", year, 1 + lots.below(12),
                       1 + lots.below(28), lots.below(24), lots.below(60), lots.below(60), offset);
}

}  // namespace lampflight
