// Planar rows: a row of a picture by its colours: loops over neighbours are wide only where these
// lie side by side.
#pragma once

#include <array>
#include <cstddef>
#include <vector>

#include "renderer/film/image.h"

namespace lampflight {

class ColourLines {
public:
    explicit ColourLines(std::size_t length) {
        for (std::vector<float>& line : lines_) line.resize(length);
    }

    float* operator[](std::size_t colour) { return lines_[colour].data(); }

    /// Takes a row apart; its first pixel goes to `first`.
    void load(ConstRow row, std::size_t first) {
        const float* const from = floats_of(row);
        float* const red = lines_[0].data() + first;
        float* const green = lines_[1].data() + first;
        float* const blue = lines_[2].data() + first;
        for (std::size_t x = 0; x < row.size(); ++x) {
            red[x] = from[3 * x];
            green[x] = from[3 * x + 1];
            blue[x] = from[3 * x + 2];
        }
    }

    /// Puts the beginnings of the lines together.
    void store(Row row) const {
        float* const to = floats_of(row);
        const float* const red = lines_[0].data();
        const float* const green = lines_[1].data();
        const float* const blue = lines_[2].data();
        for (std::size_t x = 0; x < row.size(); ++x) {
            to[3 * x] = red[x];
            to[3 * x + 1] = green[x];
            to[3 * x + 2] = blue[x];
        }
    }

private:
    std::array<std::vector<float>, 3> lines_;
};

}  // namespace lampflight
