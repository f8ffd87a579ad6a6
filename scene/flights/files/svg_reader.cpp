#include "scene/flights/files/svg_reader.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>
#include <vector>

#include <fmt/format.h>
#include <pugixml.hpp>

#include "scene/basics/wording.h"
#include "scene/flights/files/svg_flatten.h"
#include "scene/flights/files/svg_scanner.h"
#include "scene/flights/files/svg_shapes.h"
#include "scene/flights/files/svg_transform.h"

namespace lampflight {
namespace {

constexpr std::size_t deepest = 1000;
constexpr double farthest = 1e9;
constexpr double smallest_side = 1e-6;
constexpr double most_height_per_width = 1000.0;

bool is_container(std::string_view element) {
    return element == "svg" || element == "g" || element == "a" || element == "switch";
}

/// What would show in a picture of the file and has no outline here; with what to do about it.
std::string_view remedy(std::string_view element) {
    if (element == "text") return "turn text into paths in the drawing program first";
    if (element == "use") return "turn copies into paths of their own in the drawing program first";
    if (element == "image" || element == "foreignObject")
        return "only paths and shapes can be flown, so take it out of the file or hide it";
    return {};
}

/// `display` as an attribute or, as drawing programs write it for hidden layers, within `style`.
bool is_hidden(const pugi::xml_node& node) {
    if (node.attribute("display").value() == std::string_view("none")) return true;
    std::string style;
    for (const char mark : std::string_view(node.attribute("style").value()))
        if (!is_svg_space(mark)) style += mark;
    style = ";" + style;
    const auto found = style.rfind(";display:");
    return found != std::string::npos && style.compare(found + 9, 4, "none") == 0;
}

/// Gathers the outlines of a document; stops at the first fault.
class Gathering {
public:
    Gathering(const pugi::xml_node& root, std::string_view bytes) : bytes_(bytes) {
        const std::string_view name = root.name();
        prefix_ = name.substr(0, name.size() - 3);
    }

    void gather(const pugi::xml_node& root) {
        enter(root, SvgTransform{}, 0);
        while (fault_.empty() && !waiting_.empty()) {
            const Waiting next = waiting_.back();
            waiting_.pop_back();
            if (const pugi::xml_node sibling = next.node.next_sibling(); sibling && !next.only_one)
                waiting_.push_back({sibling, next.outer, next.depth, false});
            visit(next);
        }
    }

    const std::string& fault() const { return fault_; }
    const std::vector<SvgSubpath>& subpaths() const { return subpaths_; }
    /// Of all of them.
    const FigureBox& box() const { return box_; }

private:
    struct Waiting {
        pugi::xml_node node;
        SvgTransform outer;
        std::size_t depth;
        bool only_one;  ///< its siblings are left out
    };

    /// Its name in SVG; empty for what belongs to another vocabulary.
    std::string_view element_of(const pugi::xml_node& node) const {
        std::string_view name = node.name();
        if (node.type() != pugi::node_element || !name.starts_with(prefix_)) return {};
        name.remove_prefix(prefix_.size());
        return name.find(':') == std::string_view::npos ? name : std::string_view{};
    }

    bool is_shown(const pugi::xml_node& node) const {
        const std::string_view extensions = node.attribute("requiredExtensions").value();
        return !element_of(node).empty() && extensions.empty() && !is_hidden(node);
    }

    void visit(const Waiting& place) {
        const std::string_view element = element_of(place.node);
        if (element.empty() || !is_shown(place.node)) return;
        if (is_container(element)) {
            enter(place.node, place.outer, place.depth);
        } else if (is_svg_shape(element)) {
            add(element, place.node, place.outer);
        } else if (const std::string_view help = remedy(element); !help.empty()) {
            fault_ = fmt::format("its line {} has <{}>; {}", line_of(place.node), element, help);
        }
    }

    void enter(const pugi::xml_node& node, const SvgTransform& outer, std::size_t depth) {
        if (depth == deepest) {
            fault_ = fmt::format(
                "its line {} lies in more than the {} groups within each other "
                "that are allowed",
                line_of(node), deepest);
            return;
        }
        SvgTransform inner = outer * transform_of(node);
        const bool is_nested = depth > 0 && element_of(node) == "svg";
        if (is_nested) inner = inner * placing_of(node);
        pugi::xml_node first = node.first_child();
        const bool only_one = element_of(node) == "switch";
        while (only_one && first && !is_shown(first)) first = first.next_sibling();
        if (first && fault_.empty()) waiting_.push_back({first, inner, depth + 1, only_one});
    }

    SvgTransform transform_of(const pugi::xml_node& node) {
        const auto read = read_svg_transform(node.attribute("transform").value());
        if (const auto* fault = std::get_if<std::string>(&read)) {
            fail(node, "has a transform whose " + *fault);
            return {};
        }
        return std::get<SvgTransform>(read);
    }

    SvgTransform placing_of(const pugi::xml_node& node) {
        if (node.attribute("viewBox")) {
            fail(node, "has a viewBox of its own, which is allowed in the outermost <svg> alone");
            return {};
        }
        const auto corner = svg_corner(node);
        if (const auto* fault = std::get_if<std::string>(&corner)) {
            fail(node, *fault);
            return {};
        }
        return svg_translation(std::get<Vec2>(corner));
    }

    void add(std::string_view element, const pugi::xml_node& node, const SvgTransform& outer) {
        auto outline = svg_outline(element, node, most_svg_points);
        if (const auto* fault = std::get_if<std::string>(&outline)) {
            fail(node, *fault);
            return;
        }
        const SvgTransform whole = outer * transform_of(node);
        for (SvgSubpath& subpath : std::get<std::vector<SvgSubpath>>(outline)) {
            transform(subpath, whole);
            if (!lies_within(subpath, farthest)) {
                fail(node, fmt::format("reaches farther than {} from the origin, which is as far "
                                       "as is allowed",
                                       number_text(farthest)));
                return;
            }
            FigureBox box;
            include(box, subpath);
            if (box.size() == Vec2(0.0)) continue;
            box_.include(box.low);
            box_.include(box.high);
            segments_ += subpath.segments.size();
            subpaths_.push_back(std::move(subpath));
        }
        if (segments_ > 2 * most_svg_points)
            fault_ = fmt::format("it holds more than {} segments; allowed is half of that",
                                 2 * most_svg_points);
    }

    void fail(const pugi::xml_node& node, const std::string& what) {
        if (fault_.empty())
            fault_ = fmt::format("its <{}> on line {} {}", element_of(node), line_of(node), what);
    }

    std::ptrdiff_t line_of(const pugi::xml_node& node) const {
        const auto offset =
            static_cast<std::size_t>(std::max<std::ptrdiff_t>(node.offset_debug(), 0));
        const std::string_view before = bytes_.substr(0, offset);
        return 1 + std::count(before.begin(), before.end(), '\n');
    }

    std::string_view bytes_;
    std::string prefix_;
    std::vector<Waiting> waiting_;
    std::vector<SvgSubpath> subpaths_;
    FigureBox box_;
    std::size_t segments_ = 0;
    std::string fault_;
};

/// What can be told of a text before its elements are looked at; empty where nothing is wrong.
std::string fault_in_bytes(std::string_view bytes) {
    if (bytes.size() > most_svg_bytes)
        return fmt::format("it is larger than the {} MB that are allowed", most_svg_bytes >> 20);
    if (const auto zero = bytes.find('\0'); zero != std::string_view::npos)
        return fmt::format("its byte {} is 0; allowed is text in UTF-8", zero + 1);
    return {};
}

std::string fault_in_xml(const pugi::xml_parse_result& parsed, std::string_view bytes) {
    if (parsed.status == pugi::status_ok) return {};
    if (parsed.status == pugi::status_no_document_element) return "it holds no XML";
    if (parsed.status == pugi::status_out_of_memory) return "it is too large for this machine";
    const auto offset = static_cast<std::size_t>(std::max<std::ptrdiff_t>(parsed.offset, 0));
    const std::string_view before = bytes.substr(0, offset);
    const auto line = 1 + std::count(before.begin(), before.end(), '\n');
    if (parsed.status == pugi::status_end_element_mismatch)
        return fmt::format("its line {} ends an element that is not open, or the file breaks off",
                           line);
    return fmt::format("its line {} is no well-formed XML", line);
}

/// The only element at the top; or what is wrong.
std::variant<pugi::xml_node, std::string> root_of(const pugi::xml_document& document) {
    pugi::xml_node root;
    for (const pugi::xml_node& node : document.children()) {
        if (node.type() == pugi::node_doctype &&
            std::string_view(node.value()).find('[') != std::string_view::npos)
            return "its DOCTYPE declares entities or the like, which is not allowed";
        if (node.type() != pugi::node_element) continue;
        if (root) return "it has more than one element at the top; allowed is one, <svg>";
        root = node;
    }
    const std::string_view name = root.name();
    if (name != "svg" && !name.ends_with(":svg"))
        return fmt::format("it begins with <{}>; allowed is <svg>", printable(name, 40));
    return root;
}

/// Whether the drawing can be scaled to a width; empty where it can.
std::string fault_in_size(const Vec2& size) {
    if (std::max(size.x, size.y) < smallest_side)
        return fmt::format("its drawing is smaller than {}, which is a point",
                           number_text(smallest_side));
    if (size.y > most_height_per_width * size.x)
        return fmt::format(
            "its drawing is {:.4g} wide and {:.4g} high; allowed is up to {} times "
            "as high as wide",
            size.x, size.y, most_height_per_width);
    return {};
}

}  // namespace

std::variant<SvgDrawing, std::string> read_svg(std::string_view bytes) {
    if (std::string fault = fault_in_bytes(bytes); !fault.empty()) return fault;
    pugi::xml_document document;
    const pugi::xml_parse_result parsed = document.load_buffer(
        bytes.data(), bytes.size(), pugi::parse_default | pugi::parse_doctype, pugi::encoding_utf8);
    if (std::string fault = fault_in_xml(parsed, bytes); !fault.empty()) return fault;
    const auto root = root_of(document);
    if (const auto* fault = std::get_if<std::string>(&root)) return *fault;
    const auto& svg = std::get<pugi::xml_node>(root);
    Gathering gathering(svg, bytes);
    gathering.gather(svg);
    if (!gathering.fault().empty()) return gathering.fault();

    if (gathering.subpaths().empty()) return "it holds nothing to draw";
    const Vec2 size = gathering.box().size();
    if (std::string fault = fault_in_size(size); !fault.empty()) return fault;
    const SvgFineness fineness = fineness_of(std::max(size.x, size.y));
    SvgDrawing drawing;
    std::size_t points = 0;
    for (const SvgSubpath& subpath : gathering.subpaths()) {
        SvgStroke stroke = flatten(subpath, fineness, most_svg_points - points);
        if (stroke.points.size() < 2) continue;
        points += stroke.points.size();
        if (points > most_svg_points)
            return fmt::format("it takes more than the {} points that are allowed",
                               most_svg_points);
        drawing.strokes.push_back(std::move(stroke));
    }
    if (drawing.strokes.empty()) return "it holds nothing to draw";
    return drawing;
}

}  // namespace lampflight
