// What the rows of the table of keys are made with, in the files that hold them.
#pragma once

#include <vector>

#include "scene/basics/colour.h"
#include "scene/keys/key_table.h"

namespace lampflight {

constexpr Range above(double low, double high) {
    return {.low = low, .high = high, .above_low = true};
}

// Farther off nothing is seen by a small lamp, and the ground ends.
inline constexpr Range position{-20000.0, 20000.0};
inline constexpr Range bearing{-360.0, 360.0};
inline constexpr Range temperature{lowest_temperature_k, highest_temperature_k};
inline constexpr Range shutter{0.0001, 3600.0};
inline constexpr Range within_exposure{0.0, 3600.0};
inline constexpr Range f_number{0.5, 128.0};
inline constexpr Range iso{1.0, 4e6};
inline constexpr Range share{0.0, 1.0};

/// The keys of [camera], lens and sensor with them.
std::vector<Key> camera_keys();

}  // namespace lampflight
