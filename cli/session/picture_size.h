// The size of a picture in pixels, always of the frame's own shape.
#pragma once

#include <optional>
#include <string>

#include <glm/glm.hpp>

#include "cli/session/expected.h"
#include "renderer/sampling/quality.h"
#include "scene/camera/camera.h"

namespace lampflight {

/// Shortest and longest side that may be asked for, in pixels.
constexpr int shortest_side_px = 16;
constexpr int longest_side_px = 16000;

/// The longer side of a picture when no size is asked for: small for a draft, the sensor's own
/// when fine.
int usual_longer_side_px(Quality quality);

/// "960x640" as width and height; nothing when it is not of that form or out of range.
std::optional<glm::ivec2> parse_size(const std::string& text);

/// The frame scaled so that its longer side has so many pixels; never scaled up.
glm::ivec2 scaled_size(const glm::ivec2& frame_px, int longer_side_px);

/// The size asked for when it has the frame's shape to within a pixel's rounding; else 2 with the
/// nearest sizes that have.
Expected<glm::ivec2> size_of_shape(const glm::ivec2& frame_px, const glm::ivec2& wanted_px);

/// Gives a camera with its sensor's own pixels those of the picture.
void set_picture_size(Camera& camera, const glm::ivec2& size_px);

}  // namespace lampflight
