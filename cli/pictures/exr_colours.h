// Three colours side by side as three channels of OpenEXR.
#pragma once

#include <cstddef>
#include <string>

#include <OpenEXR/ImfFrameBuffer.h>

namespace lampflight {

constexpr char rgb[] = "RGB";

/// Where channels "R", "G", "B", with something before their names, lie in memory: `samples` are
/// three for each pixel of the window, row by row.
template <class Sample>
Imf::FrameBuffer colour_buffer(Imf::PixelType type, Sample* samples, const Imath::Box2i& window,
                               const std::string& before_names = "") {
    Imf::FrameBuffer buffer;
    const std::size_t pixel_bytes = 3 * sizeof(Sample);
    const auto width = static_cast<std::size_t>(window.max.x - window.min.x + 1);
    for (std::size_t colour = 0; colour < 3; ++colour)
        buffer.insert(
            before_names + rgb[colour],
            Imf::Slice::Make(type, samples + colour, window, pixel_bytes, pixel_bytes * width));
    return buffer;
}

}  // namespace lampflight
