#include "scene/flights/files/path_xml.h"

#include <algorithm>

#include <fmt/format.h>

#include "scene/basics/wording.h"

namespace lampflight {
namespace {

constexpr std::string_view spaces = " \t\r\n";

std::size_t lines_to(std::string_view text, std::ptrdiff_t byte) {
    const auto end = text.begin() +
                     std::clamp<std::ptrdiff_t>(byte, 0, static_cast<std::ptrdiff_t>(text.size()));
    return 1 + static_cast<std::size_t>(std::count(text.begin(), end, '\n'));
}

}  // namespace

PathFault PathXml::parse(std::string_view text, std::string_view root_name) {
    text_ = text;
    const pugi::xml_parse_result parsed = document_.load_buffer(
        text.data(), text.size(), pugi::parse_default | pugi::parse_doctype, pugi::encoding_utf8);
    if (!parsed)
        return fmt::format("its line {} is no sound XML; allowed is a whole {} file",
                           lines_to(text, parsed.offset), root_name);
    // The parser opens no other file and replaces no declared entity, so none may be relied on.
    int elements = 0;
    for (const pugi::xml_node& node : document_.children()) {
        if (node.type() == pugi::node_doctype &&
            std::string_view(node.value()).find_first_of("[&") != std::string_view::npos)
            return "it declares entities of its own; allowed is a file without a DOCTYPE";
        elements += node.type() == pugi::node_element;
    }
    if (elements != 1)
        return fmt::format("it has {} outermost elements; allowed is one, {}", elements,
                           in_quotes(root_name));
    if (local_name(root()) != root_name)
        return fmt::format("its outermost element is {}; allowed is {}",
                           in_quotes(local_name(root())), in_quotes(root_name));
    return std::nullopt;
}

std::size_t PathXml::line_of(const pugi::xml_node& node) const {
    return lines_to(text_, node.offset_debug());
}

std::string_view local_name(const pugi::xml_node& node) {
    const std::string_view name = node.name();
    const std::size_t colon = name.find(':');
    return colon == std::string_view::npos ? name : name.substr(colon + 1);
}

pugi::xml_node child_of(const pugi::xml_node& node, std::string_view name) {
    return node.find_child([&](const pugi::xml_node& child) { return local_name(child) == name; });
}

std::string text_in(const pugi::xml_node& node) {
    std::string text;
    for (const pugi::xml_node& part : node.children())
        if (part.type() == pugi::node_pcdata || part.type() == pugi::node_cdata)
            text += part.value();
    return std::string(without_spaces(text));
}

std::string text_below(const pugi::xml_node& node, std::string_view name) {
    return text_in(child_of(node, name));
}

std::string_view without_spaces(std::string_view text) {
    const std::size_t begin = text.find_first_not_of(spaces);
    if (begin == std::string_view::npos) return {};
    return text.substr(begin, text.find_last_not_of(spaces) + 1 - begin);
}

}  // namespace lampflight
