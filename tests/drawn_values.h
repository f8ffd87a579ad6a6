// Values drawn by lot for keys of a scene: numbers of a range, places, windows of time, moments.
#pragma once

#include <cstddef>
#include <cstdint>
#include <random>
#include <string>

#include "scene/keys/key_table.h"

namespace lampflight {

/// The standard's generator alone: its distributions differ between libraries.
class Lots {
public:
    explicit Lots(std::uint64_t seed) : random_(seed) {}

    double unit() { return static_cast<double>(random_() >> 11) * 0x1p-53; }
    double between(double low, double high) { return low + unit() * (high - low); }
    bool chance(double probability) { return unit() < probability; }
    std::size_t below(std::size_t count) { return static_cast<std::size_t>(random_() % count); }
    template <class List>
    const auto& pick(const List& list) {
        return list[below(list.size())];
    }

private:
    std::mt19937_64 random_;
};

/// A number of a key's range: its ends, all over it, or of a size that scenes have.
double drawn_number(Lots& lots, const Range& range);

/// `[x, y, z]`, near the origin, and seldom anywhere.
std::string drawn_place(Lots& lots, const Range& range);

/// So many numbers in brackets.
std::string drawn_numbers(Lots& lots, const Range& range, int count);

/// One to four windows of time, one after the other.
std::string drawn_windows(Lots& lots);

/// A date and time with its offset, from 1900 to 2100.
std::string drawn_moment(Lots& lots);

}  // namespace lampflight
