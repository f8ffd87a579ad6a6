#include "cli/session/picture_size.h"

#include <algorithm>
#include <charconv>
#include <cmath>

#include <fmt/format.h>

namespace lampflight {
namespace {

std::optional<int> parse_side(const std::string& text) {
    int side = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), side);
    if (error != std::errc() || end != text.data() + text.size()) return std::nullopt;
    if (side < shortest_side_px || side > longest_side_px) return std::nullopt;
    return side;
}

int scaled(int length, int by, int over) {
    return std::max(1, static_cast<int>(std::lround(static_cast<double>(length) * by / over)));
}

}  // namespace

int usual_longer_side_px(Quality quality) {
    switch (quality) {
        case Quality::draft:
            return 960;
        case Quality::good:
            return 1500;
        case Quality::fine:
            break;
    }
    return longest_side_px;
}

std::optional<glm::ivec2> parse_size(const std::string& text) {
    const std::size_t cross = text.find('x');
    if (cross == std::string::npos) return std::nullopt;
    const auto width = parse_side(text.substr(0, cross));
    const auto height = parse_side(text.substr(cross + 1));
    if (!width || !height) return std::nullopt;
    return glm::ivec2(*width, *height);
}

glm::ivec2 scaled_size(const glm::ivec2& frame_px, int longer_side_px) {
    const int longer = std::max(frame_px.x, frame_px.y);
    if (longer <= longer_side_px) return frame_px;
    return {scaled(frame_px.x, longer_side_px, longer), scaled(frame_px.y, longer_side_px, longer)};
}

Expected<glm::ivec2> size_of_shape(const glm::ivec2& frame_px, const glm::ivec2& wanted_px) {
    const int height = scaled(wanted_px.x, frame_px.y, frame_px.x);
    const int width = scaled(wanted_px.y, frame_px.x, frame_px.y);
    if (wanted_px.y == height || wanted_px.x == width) return wanted_px;
    return failure(
        ExitCode::wrong_command_line,
        fmt::format(
            "--size {}x{} has not the shape of the frame ({} x {} pixels); try {}x{} or {}x{}",
            wanted_px.x, wanted_px.y, frame_px.x, frame_px.y, wanted_px.x, height, width,
            wanted_px.y));
}

void set_picture_size(Camera& camera, const glm::ivec2& size_px) {
    camera.sensor_pixels_across =
        std::max(1.0, static_cast<double>(camera.pixels.x) / static_cast<double>(size_px.x));
    camera.pixels = size_px;
}

}  // namespace lampflight
