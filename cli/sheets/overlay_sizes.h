// Sizes of what is drawn over a picture, which follow the picture's.
#pragma once

#include <algorithm>

namespace lampflight {

struct OverlaySizes {
    int enlarged;   ///< pixels of the overlay along one of the photograph
    int width;      ///< of the photograph on it
    int height;     ///< of the photograph on it
    double letter;  ///< height of text; other lengths are shares of it
    double hair;    ///< a thin line
    int band;       ///< height of the scale below

    OverlaySizes(int picture_width, int picture_height)
        : OverlaySizes(picture_width, picture_height, enlarged_to_read(picture_width)) {}

    OverlaySizes(int picture_width, int picture_height, int times) {
        enlarged = times;
        width = enlarged * picture_width;
        height = enlarged * picture_height;
        // For a screen that shows the whole picture; a wide and low one has to keep room for
        // itself.
        letter = std::max(13.0, std::min(width / 54.0, height / 20.0));
        hair = std::max(1.0, letter / 12.0);
        band = static_cast<int>(6.0 * letter);
    }

private:
    static int enlarged_to_read(int picture_width) {
        constexpr int narrowest = 640;
        return std::max(1, (narrowest + picture_width - 1) / picture_width);
    }
};

}  // namespace lampflight
