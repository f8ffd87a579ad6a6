// Affine transforms of SVG: the list of an attribute `transform` (SVG 1.1, 7.6).
#pragma once

#include <string>
#include <string_view>
#include <variant>

#include "scene/basics/vector.h"

namespace lampflight {

/// Columns as in `matrix(a b c d e f)`: where the unit vectors and the origin go.
struct SvgTransform {
    Vec2 x{1.0, 0.0};
    Vec2 y{0.0, 1.0};
    Vec2 origin{0.0, 0.0};

    Vec2 direction(const Vec2& along) const { return along.x * x + along.y * y; }
    Vec2 point(const Vec2& at) const { return direction(at) + origin; }
};

/// `inner` first, then `outer`, as a group's transform is outer to those of what it holds.
SvgTransform operator*(const SvgTransform& outer, const SvgTransform& inner);

SvgTransform svg_translation(const Vec2& by);

/// All of a list as one, the first being the outermost; or what is wrong with it, as the end of a
/// sentence that began with "... a transform whose".
std::variant<SvgTransform, std::string> read_svg_transform(std::string_view list);

}  // namespace lampflight
