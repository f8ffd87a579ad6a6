#include "scene/flights/files/svg_transform.h"

#include <array>
#include <cmath>
#include <initializer_list>
#include <optional>
#include <vector>

#include <fmt/format.h>

#include "scene/basics/angle.h"
#include "scene/flights/files/svg_scanner.h"

namespace lampflight {
namespace {

using Numbers = std::vector<double>;

SvgTransform matrix(const Numbers& n) {
    return {{n[0], n[1]}, {n[2], n[3]}, {n[4], n[5]}};
}
SvgTransform translate(const Numbers& n) {
    return svg_translation({n[0], n.size() > 1 ? n[1] : 0.0});
}
SvgTransform scale(const Numbers& n) {
    return {{n[0], 0.0}, {0.0, n.size() > 1 ? n[1] : n[0]}, {0.0, 0.0}};
}
SvgTransform rotate(const Numbers& n) {
    const double angle_rad = radians(n[0]);
    const double cosine = std::cos(angle_rad);
    const double sine = std::sin(angle_rad);
    const SvgTransform turn{{cosine, sine}, {-sine, cosine}, {0.0, 0.0}};
    if (n.size() < 3) return turn;
    const Vec2 centre(n[1], n[2]);
    return svg_translation(centre) * turn * svg_translation(-centre);
}
SvgTransform skew_x(const Numbers& n) {
    return {{1.0, 0.0}, {std::tan(radians(n[0])), 1.0}, {0.0, 0.0}};
}
SvgTransform skew_y(const Numbers& n) {
    return {{1.0, std::tan(radians(n[0]))}, {0.0, 1.0}, {0.0, 0.0}};
}

struct TransformKind {
    std::string_view name;
    std::size_t fewest;
    std::size_t most;
    std::string_view counts;  ///< in words
    SvgTransform (*made)(const Numbers&);

    /// A turn takes its angle, or that and its centre.
    bool takes(std::size_t count) const { return count == fewest || count == most; }
};

constexpr std::array<TransformKind, 6> kinds{{{"matrix", 6, 6, "6", matrix},
                                              {"translate", 1, 2, "1 or 2", translate},
                                              {"scale", 1, 2, "1 or 2", scale},
                                              {"rotate", 1, 3, "1 or 3", rotate},
                                              {"skewX", 1, 1, "1", skew_x},
                                              {"skewY", 1, 1, "1", skew_y}}};

constexpr std::string_view allowed_kinds = "matrix, translate, scale, rotate, skewX or skewY";

/// Numbers in brackets; nothing where something else stands.
std::optional<Numbers> bracketed(SvgScanner& in) {
    in.skip_space();
    if (!in.take('(')) return std::nullopt;
    in.skip_space();
    Numbers numbers;
    while (numbers.size() <= 6) {
        const std::optional<double> number = in.number();
        if (!number) return std::nullopt;
        numbers.push_back(*number);
        const bool comma = in.skip_comma();
        if (!comma && in.take(')')) return numbers;
    }
    return numbers;
}

}  // namespace

SvgTransform operator*(const SvgTransform& outer, const SvgTransform& inner) {
    return {outer.direction(inner.x), outer.direction(inner.y), outer.point(inner.origin)};
}

SvgTransform svg_translation(const Vec2& by) {
    return {{1.0, 0.0}, {0.0, 1.0}, by};
}

std::variant<SvgTransform, std::string> read_svg_transform(std::string_view list) {
    SvgTransform whole;
    SvgScanner in(list);
    in.skip_space();
    bool comma = false;
    while (!in.at_end() || comma) {
        const SvgScanner before = in;
        const std::string_view name = in.word();
        const TransformKind* kind = nullptr;
        for (const TransformKind& each : kinds)
            if (each.name == name) kind = &each;
        if (kind == nullptr) return before.fault(allowed_kinds);
        const std::optional<Numbers> numbers = bracketed(in);
        if (!numbers) return in.fault("a number in brackets");
        if (!kind->takes(numbers->size()))
            return fmt::format(
                "{} at character {} has {} numbers; allowed is {}", name, before.place(),
                numbers->size() > 6 ? "too many" : fmt::to_string(numbers->size()), kind->counts);
        whole = whole * kind->made(*numbers);
        comma = in.skip_comma();
    }
    return whole;
}

}  // namespace lampflight
