#include "scene/flights/files/svg_shapes.h"

#include <algorithm>
#include <array>
#include <optional>
#include <utility>

#include <fmt/format.h>
#include <pugixml.hpp>

#include "scene/basics/angle.h"
#include "scene/basics/wording.h"
#include "scene/flights/files/svg_path.h"
#include "scene/flights/files/svg_scanner.h"

namespace lampflight {
namespace {

struct SvgUnit {
    std::string_view name;
    double user_units;
};

// CSS Values and Units 3, 6.2: 96 pixels to the inch.
constexpr std::array<SvgUnit, 8> units{{{"", 1.0},
                                        {"px", 1.0},
                                        {"in", 96.0},
                                        {"cm", 96.0 / 2.54},
                                        {"mm", 96.0 / 25.4},
                                        {"q", 96.0 / 101.6},
                                        {"pt", 96.0 / 72.0},
                                        {"pc", 16.0}}};

/// Reads an element's lengths; the first fault stays.
class Lengths {
public:
    explicit Lengths(const pugi::xml_node& node) : node_(node) {}

    /// Nothing for one that is not there, or "auto".
    std::optional<double> given(const char* name) {
        const pugi::xml_attribute attribute = node_.attribute(name);
        const std::string_view text = attribute.value();
        if (!attribute || text == "auto") return std::nullopt;
        SvgScanner in(text);
        in.skip_space();
        const std::optional<double> number = in.number();
        const std::string word = lower_case(std::string(in.word()));
        in.skip_space();
        const auto unit = std::find_if(units.begin(), units.end(),
                                       [&](const SvgUnit& each) { return each.name == word; });
        if (number && in.at_end() && unit != units.end()) return *number * unit->user_units;
        fail(
            fmt::format("has a {} of {}; allowed is a number, alone or in px, in, cm, mm, Q, pt "
                        "or pc",
                        name, in_quotes(text)));
        return std::nullopt;
    }

    double of(const char* name) { return given(name).value_or(0.0); }

    /// Of a size, which can't be less than 0.
    std::optional<double> size_given(const char* name) {
        const std::optional<double> size = given(name);
        if (size && *size < 0.0)
            fail(fmt::format("has a {} of {}; allowed is 0 and more", name, number_text(*size)));
        return size;
    }

    /// Of an element's rx and ry, one of which stands for both where the other is missing.
    Vec2 radii() {
        const std::optional<double> x = size_given("rx");
        const std::optional<double> y = size_given("ry");
        return {x.value_or(y.value_or(0.0)), y.value_or(x.value_or(0.0))};
    }

    const std::string& fault() const { return fault_; }

private:
    void fail(std::string fault) {
        if (fault_.empty()) fault_ = std::move(fault);
    }

    const pugi::xml_node& node_;
    std::string fault_;
};

using Subpaths = std::vector<SvgSubpath>;

SvgArc quarter(const Vec2& centre, const Vec2& radii, double from_rad) {
    SvgArc arc{centre, {radii.x, 0.0}, {0.0, radii.y}, from_rad, 0.5 * pi, {}};
    arc.to = arc.point(from_rad + 0.5 * pi);
    return arc;
}

Subpaths whole_ellipse(const Vec2& centre, const Vec2& radii) {
    if (radii.x == 0.0 || radii.y == 0.0) return {};
    SvgSubpath ellipse{centre + Vec2(radii.x, 0.0), {}, true};
    for (int turn = 0; turn < 4; ++turn)
        ellipse.segments.emplace_back(quarter(centre, radii, turn * 0.5 * pi));
    std::get<SvgArc>(ellipse.segments.back()).to = ellipse.start;
    return {ellipse};
}

/// The path that SVG 2, 10.2 says it is.
Subpaths rectangle(Lengths& lengths) {
    const Vec2 low(lengths.of("x"), lengths.of("y"));
    const Vec2 size(lengths.size_given("width").value_or(0.0),
                    lengths.size_given("height").value_or(0.0));
    const Vec2 radii = glm::min(lengths.radii(), 0.5 * size);
    if (size.x == 0.0 || size.y == 0.0) return {};
    const Vec2 high = low + size;
    const bool round = radii.x > 0.0 && radii.y > 0.0;
    const Vec2 cut = round ? radii : Vec2(0.0);
    SvgSubpath outline{{low.x + cut.x, low.y}, {}, true};
    const auto side_and_corner = [&](const Vec2& to, const Vec2& centre, double from_rad) {
        outline.segments.emplace_back(SvgLine{to});
        if (round) outline.segments.emplace_back(quarter(centre, radii, from_rad));
    };
    side_and_corner({high.x - cut.x, low.y}, {high.x - cut.x, low.y + cut.y}, -0.5 * pi);
    side_and_corner({high.x, high.y - cut.y}, high - cut, 0.0);
    side_and_corner({low.x + cut.x, high.y}, {low.x + cut.x, high.y - cut.y}, 0.5 * pi);
    side_and_corner({low.x, low.y + cut.y}, low + cut, pi);
    outline.segments.emplace_back(SvgLine{outline.start});
    return {outline};
}

SvgOutline points_of(const char* text, bool closed, std::size_t most_segments) {
    SvgScanner in(text);
    in.skip_space();
    SvgSubpath subpath;
    bool begun = false;
    bool comma = false;
    while (!in.at_end() || comma) {
        const std::optional<double> x = in.number();
        if (x) in.skip_comma();
        const std::optional<double> y = x ? in.number() : std::nullopt;
        if (!y)
            return "has points whose " + in.fault(x ? "the second number of a point" : "a number");
        comma = in.skip_comma();
        if (subpath.segments.size() == most_segments)
            return fmt::format("has points that exceed the {} that are allowed in a drawing",
                               most_segments);
        if (begun)
            subpath.segments.emplace_back(SvgLine{{*x, *y}});
        else
            subpath.start = {*x, *y};
        begun = true;
    }
    if (subpath.segments.empty()) return Subpaths{};
    subpath.closed = closed;
    if (closed) subpath.segments.emplace_back(SvgLine{subpath.start});
    return Subpaths{subpath};
}

}  // namespace

bool is_svg_shape(std::string_view element) {
    constexpr std::array<std::string_view, 7> shapes{"path", "rect",     "circle", "ellipse",
                                                     "line", "polyline", "polygon"};
    return std::find(shapes.begin(), shapes.end(), element) != shapes.end();
}

SvgOutline svg_outline(std::string_view element, const pugi::xml_node& node,
                       std::size_t most_segments) {
    if (element == "path") {
        auto read = read_svg_path(node.attribute("d").value(), most_segments);
        if (auto* fault = std::get_if<std::string>(&read)) return "has a d whose " + *fault;
        return std::get<Subpaths>(std::move(read));
    }
    if (element == "polyline" || element == "polygon")
        return points_of(node.attribute("points").value(), element == "polygon", most_segments);

    Lengths lengths(node);
    Subpaths outline;
    if (element == "rect") {
        outline = rectangle(lengths);
    } else if (element == "line") {
        const Vec2 from(lengths.of("x1"), lengths.of("y1"));
        const Vec2 to(lengths.of("x2"), lengths.of("y2"));
        outline = {SvgSubpath{from, {SvgLine{to}}, false}};
    } else {
        const Vec2 centre(lengths.of("cx"), lengths.of("cy"));
        const Vec2 radii =
            element == "circle" ? Vec2(lengths.size_given("r").value_or(0.0)) : lengths.radii();
        outline = whole_ellipse(centre, radii);
    }
    if (!lengths.fault().empty()) return lengths.fault();
    return outline;
}

std::variant<Vec2, std::string> svg_corner(const pugi::xml_node& node) {
    Lengths lengths(node);
    const Vec2 corner(lengths.of("x"), lengths.of("y"));
    if (!lengths.fault().empty()) return lengths.fault();
    return corner;
}

}  // namespace lampflight
