// Paths read from a text, or the fault, for the tests of this room.
#pragma once

#include <doctest/doctest.h>

#include <string>
#include <string_view>

#include "scene/flights/files/path_file.h"

namespace lampflight::testing {

/// A place of our own invention, 480 m above the sea, take-off half a metre above its metre zero.
inline PathOrigin hillside() {
    return {GeoFrame(50.1, 8.2, 480.0), 0.5};
}

inline std::string path_fault(std::string_view text, PathFormat format,
                              const PathOrigin& origin = hillside()) {
    const PathFileResult result = read_path_file(text, format, origin);
    const auto* fault = std::get_if<std::string>(&result);
    return fault ? *fault : "no fault";
}

inline std::vector<FilePath> sound_paths(std::string_view text, PathFormat format,
                                         const PathOrigin& origin = hillside()) {
    PathFileResult result = read_path_file(text, format, origin);
    if (const auto* fault = std::get_if<std::string>(&result)) FAIL(*fault);
    return std::get<std::vector<FilePath>>(std::move(result));
}

inline FilePath sound_path(std::string_view text, PathFormat format,
                           const PathOrigin& origin = hillside()) {
    std::vector<FilePath> paths = sound_paths(text, format, origin);
    REQUIRE(paths.size() == 1);
    return paths.front();
}

inline std::string repeated(const std::string& text, std::size_t times) {
    std::string all;
    for (std::size_t i = 0; i < times; ++i) all += text;
    return all;
}

}  // namespace lampflight::testing
