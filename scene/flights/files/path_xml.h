// XML of GPX and KML files: sound, without declared entities, of bounded depth.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

#include <pugixml.hpp>

#include "scene/flights/files/path_values.h"

namespace lampflight {

/// A parsed file, and where its elements stand in it.
class PathXml {
public:
    /// Parses the text; gives what is wrong with it or with the name of its outermost element.
    PathFault parse(std::string_view text, std::string_view root_name);

    pugi::xml_node root() const { return document_.document_element(); }

    /// Line of the text, from 1, on which an element begins.
    std::size_t line_of(const pugi::xml_node& node) const;

private:
    std::string_view text_;
    pugi::xml_document document_;
};

/// An element's name without its namespace's prefix.
std::string_view local_name(const pugi::xml_node& node);

/// The first element of this name directly below, or none.
pugi::xml_node child_of(const pugi::xml_node& node, std::string_view name);

/// All text directly in an element, whatever comments stand amid it, without spaces about it.
std::string text_in(const pugi::xml_node& node);

/// The text of the first element of this name directly below.
std::string text_below(const pugi::xml_node& node, std::string_view name);

std::string_view without_spaces(std::string_view text);

}  // namespace lampflight
