// The text of an OBJ file made plain, so that what was looked at is what is loaded.
#pragma once

#include <string>
#include <string_view>
#include <variant>

namespace lampflight {

/// Corners of a face at most: cutting it into triangles costs their square.
constexpr std::size_t most_face_corners = 500;

/// Lines of an OBJ file that end in "\n", whichever of "\n", "\r\n" and "\r" ended them, those that
/// a "\" continues in one. OBJ files and their material files are written so.
std::string plain_lines(std::string_view text);

/// Vertices, normals, faces, smoothing groups and materials of an OBJ file, one statement a line
/// and nothing else; corners count from 1 and stay within the file's vertices.
struct PlainObj {
    std::string text;
    bool has_groups = false;  ///< whether any line speaks of smoothing groups
};

/// Or, in a sentence without its full stop, what the file has that no mesh can be made of: bytes
/// that are no text, coordinates that are no finite numbers within 1000 km, corners that do not
/// exist, faces of too many corners, no triangle, more than `most_triangles`.
std::variant<PlainObj, std::string> plain_obj(std::string_view text, std::size_t most_triangles);

}  // namespace lampflight
