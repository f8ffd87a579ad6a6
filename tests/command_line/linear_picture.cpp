#include "tests/command_line/linear_picture.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include <OpenEXR/ImfFrameBuffer.h>
#include <OpenEXR/ImfHeader.h>
#include <OpenEXR/ImfInputFile.h>

#include "renderer/develop/tone.h"

namespace lampflight::testing {

std::vector<float> read_linear_picture(const std::filesystem::path& file) {
    Imf::InputFile input(file.c_str());
    const Imath::Box2i window = input.header().dataWindow();
    const auto width = static_cast<std::size_t>(window.max.x + 1);
    std::vector<float> picture(3 * width * static_cast<std::size_t>(window.max.y + 1));
    Imf::FrameBuffer buffer;
    for (std::size_t i = 0; i < 3; ++i)
        buffer.insert(std::string(1, "RGB"[i]),
                      Imf::Slice(Imf::FLOAT, reinterpret_cast<char*>(picture.data() + i),
                                 3 * sizeof(float), 3 * sizeof(float) * width));
    input.setFrameBuffer(buffer);
    input.readPixels(window.min.y, window.max.y);
    return picture;
}

double largest_code_difference(const std::filesystem::path& one,
                               const std::filesystem::path& other) {
    const std::vector<float> a = read_linear_picture(one), b = read_linear_picture(other);
    REQUIRE(a.size() == b.size());
    const auto code = [](float light) {
        return 255.0 * srgb_encode(tone(static_cast<double>(light)));
    };
    double largest = 0.0;
    for (std::size_t i = 0; i < a.size(); ++i)
        largest = std::max(largest, std::abs(code(a[i]) - code(b[i])));
    return largest;
}

}  // namespace lampflight::testing
