// Linear OpenEXR pictures that the program wrote, read back and compared as the eye would.
#pragma once

#include <filesystem>
#include <vector>

namespace lampflight::testing {

/// Red, green, blue of every pixel, rows from the top.
std::vector<float> read_linear_picture(const std::filesystem::path& file);

/// The largest difference of two pictures in sRGB codes of 0 to 255, before they are rounded.
double largest_code_difference(const std::filesystem::path& one,
                               const std::filesystem::path& other);

}  // namespace lampflight::testing
