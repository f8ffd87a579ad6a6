// What reading a file of layers throws.
#pragma once

#include <string>

namespace lampflight {

/// What is wrong with a file, in a few words.
struct UnfitLayers {
    std::string what;
};

}  // namespace lampflight
