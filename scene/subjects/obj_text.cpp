#include "scene/subjects/obj_text.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <cstdint>
#include <limits>
#include <optional>
#include <set>

#include <fmt/format.h>

#include "scene/subjects/mesh.h"

namespace lampflight {
namespace {

constexpr std::size_t most_material_lines = 100;

/// Cuts the next word off a line.
std::string_view next_word(std::string_view& line) {
    const auto begin = std::min(line.find_first_not_of(" \t"), line.size());
    const auto end = std::min(line.find_first_of(" \t", begin), line.size());
    const std::string_view word = line.substr(begin, end - begin);
    line.remove_prefix(end);
    return word;
}

bool is_coordinate(std::string_view word) {
    if (word.starts_with('+')) word.remove_prefix(1);
    double value = 0.0;
    const auto [end, error] = std::from_chars(word.data(), word.data() + word.size(), value);
    return error == std::errc{} && end == word.data() + word.size() && std::isfinite(value) &&
           std::abs(value) <= farthest_vertex_m;
}

std::optional<std::int64_t> index_of(std::string_view word) {
    std::int64_t index = 0;
    const auto [end, error] = std::from_chars(word.data(), word.data() + word.size(), index);
    const bool sound = error == std::errc{} && end == word.data() + word.size() && index != 0;
    return sound && std::abs(index) <= std::numeric_limits<std::int32_t>::max()
               ? std::optional(index)
               : std::nullopt;
}

/// Looks at a file line by line and writes down what a mesh is made of.
class Plainness {
public:
    explicit Plainness(std::size_t most_triangles) : most_triangles_(most_triangles) {}

    std::variant<PlainObj, std::string> of(std::string_view lines) {
        while (!lines.empty()) {
            const auto end = std::min(lines.find('\n'), lines.size());
            ++line_number_;
            if (auto fault = in_line(lines.substr(0, end))) return *fault;
            lines.remove_prefix(std::min(end + 1, lines.size()));
        }
        if (highest_ > vertices_)
            return fmt::format("its line {} uses vertex {} of {}", highest_line_, highest_,
                               vertices_);
        if (triangles_ == 0) return "it holds no triangle";
        return std::move(plain_);
    }

private:
    std::optional<std::string> in_line(std::string_view line) {
        if (line.find('\0') != line.npos)
            return fmt::format("its line {} is no text", line_number_);
        const std::string_view kind = next_word(line);
        if (kind == "v" || kind == "vn") return in_coordinates(kind, line);
        if (kind == "f") return in_face(line);
        plain_.has_groups = plain_.has_groups || kind == "s";
        if (kind == "s" || kind == "usemtl") add_line(kind, line);
        if (kind == "mtllib") return in_materials(line);
        return std::nullopt;
    }

    void add_line(std::string_view kind, std::string_view rest) {
        plain_.text.append(kind).append(rest) += '\n';
    }

    std::optional<std::string> in_coordinates(std::string_view kind, std::string_view line) {
        plain_.text += kind;
        for (int axis = 0; axis < 3; ++axis) {
            const std::string_view word = next_word(line);
            if (!is_coordinate(word))
                return fmt::format("its line {} needs three numbers within {} km", line_number_,
                                   farthest_vertex_m / 1000.0);
            (plain_.text += ' ') += word;
        }
        plain_.text += '\n';
        ++(kind == "v" ? vertices_ : normals_);
        return std::nullopt;
    }

    std::optional<std::string> in_face(std::string_view line) {
        std::size_t corners = 0;
        plain_.text += 'f';
        for (std::string_view word = next_word(line); !word.empty(); word = next_word(line)) {
            if (word.starts_with('#')) break;
            if (!add_corner(word))
                return fmt::format("its line {} uses a vertex that does not exist", line_number_);
            if (++corners > most_face_corners)
                return fmt::format(
                    "its line {} is a face of more than {} corners; cut it into triangles",
                    line_number_, most_face_corners);
        }
        plain_.text += '\n';
        triangles_ += corners > 2 ? corners - 2 : 0;
        if (triangles_ <= most_triangles_) return std::nullopt;
        return fmt::format("it holds more than {} triangles; allowed is up to that",
                           most_triangles_);
    }

    /// "7", "7/2", "7//3" or "7/2/3"; what it says of textures is left out. Counts backwards from
    /// here where negative.
    bool add_corner(std::string_view word) {
        const auto slash = std::min(word.find('/'), word.size());
        const auto vertex = index_of(word.substr(0, slash));
        if (!vertex || -*vertex > vertices_) return false;
        const std::int64_t number = *vertex > 0 ? *vertex : vertices_ + 1 + *vertex;
        if (number > highest_) {
            highest_ = number;
            highest_line_ = line_number_;
        }
        plain_.text += fmt::format(" {}", number);
        word.remove_prefix(slash);
        const auto last_slash = word.rfind('/');
        if (last_slash == word.npos) return true;
        const std::string_view texture =
            word.substr(1, last_slash > 0 ? last_slash - 1 : word.npos);
        if (last_slash == 0 || !texture.empty())
            if (!index_of(texture)) return false;
        if (last_slash == 0) return true;
        const auto normal = index_of(word.substr(last_slash + 1));
        if (!normal) return false;
        const std::int64_t of_normal = *normal > 0 ? *normal : normals_ + 1 + *normal;
        // One that does not exist is left out: the normal is then worked out.
        if (of_normal > 0) plain_.text += fmt::format("//{}", of_normal);
        return true;
    }

    std::optional<std::string> in_materials(std::string_view line) {
        if (!materials_.insert(std::string(line)).second) return std::nullopt;
        if (materials_.size() > most_material_lines)
            return fmt::format("it names more than {} material files", most_material_lines);
        add_line("mtllib", line);
        return std::nullopt;
    }

    std::size_t most_triangles_;
    PlainObj plain_;
    std::set<std::string> materials_;
    std::size_t triangles_ = 0;
    long long line_number_ = 0;
    std::int64_t vertices_ = 0;
    std::int64_t normals_ = 0;
    std::int64_t highest_ = 0;
    long long highest_line_ = 0;
};

}  // namespace

std::string plain_lines(std::string_view text) {
    std::string lines;
    lines.reserve(text.size() + 1);
    for (std::size_t i = 0; i < text.size(); ++i) {
        const bool ends = text[i] == '\n' || text[i] == '\r';
        if (text[i] == '\r' && i + 1 < text.size() && text[i + 1] == '\n') ++i;
        if (ends && lines.ends_with('\\'))
            lines.back() = ' ';
        else
            lines += ends ? '\n' : text[i];
    }
    if (!lines.empty() && !lines.ends_with('\n')) lines += '\n';
    return lines;
}

std::variant<PlainObj, std::string> plain_obj(std::string_view text, std::size_t most_triangles) {
    return Plainness(most_triangles).of(plain_lines(text));
}

}  // namespace lampflight
