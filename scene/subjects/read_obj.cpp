#include "scene/subjects/read_obj.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <map>
#include <optional>
#include <sstream>
#include <string_view>

#include <fmt/format.h>
#include <tiny_obj_loader.h>

#include "scene/basics/text_of_file.h"
#include "scene/basics/wording.h"
#include "scene/subjects/normals.h"

namespace lampflight {

namespace {

constexpr std::uintmax_t most_file_bytes = std::uintmax_t{1} << 30;
constexpr double longest_edge_m = 0.25;
constexpr double plain_reflectance = 0.35;
constexpr double highest_reflectance = 0.95;
// Beyond this a float no longer holds a hand's breadth.
constexpr double farthest_m = 1e6;

/// Cuts the next word off a line.
std::string_view next_word(std::string_view& line) {
    const auto begin = std::min(line.find_first_not_of(" \t\r"), line.size());
    const auto end = std::min(line.find_first_of(" \t\r", begin), line.size());
    const std::string_view word = line.substr(begin, end - begin);
    line.remove_prefix(end);
    return word;
}

bool is_coordinate(std::string_view word) {
    if (word.starts_with('+')) word.remove_prefix(1);
    double value = 0.0;
    const auto [end, error] = std::from_chars(word.data(), word.data() + word.size(), value);
    return error == std::errc{} && end == word.data() + word.size() && std::isfinite(value) &&
           std::abs(value) <= farthest_m;
}

/// What the loader below would let pass or quietly mend: coordinates that are no numbers, and faces
/// of vertices that do not exist. A sentence, or nothing.
class Inspection {
public:
    std::optional<std::string> of(std::string_view text) {
        while (!text.empty()) {
            const auto end = std::min(text.find('\n'), text.size());
            std::string_view line = text.substr(0, end);
            text.remove_prefix(std::min(end + 1, text.size()));
            ++line_number_;
            const std::string_view kind = next_word(line);
            if (kind == "v" || kind == "vn") {
                if (auto fault = in_coordinates(kind, line)) return fault;
            } else if (kind == "f") {
                if (auto fault = in_face(line)) return fault;
            } else if (kind == "s") {
                has_groups_ = true;
            }
        }
        if (highest_ > vertices_)
            return fmt::format("its line {} uses vertex {} of {}", highest_line_, highest_,
                               vertices_);
        if (triangles_ <= 0) return "it holds no triangle";
        if (triangles_ > static_cast<long long>(most_obj_triangles))
            return fmt::format("it holds {} triangles; allowed is up to {}", triangles_,
                               most_obj_triangles);
        return std::nullopt;
    }

    /// Whether any line speaks of smoothing groups.
    bool has_groups() const { return has_groups_; }

private:
    std::optional<std::string> in_coordinates(std::string_view kind, std::string_view line) {
        for (int axis = 0; axis < 3; ++axis)
            if (!is_coordinate(next_word(line)))
                return fmt::format("its line {} needs three numbers within {} km", line_number_,
                                   farthest_m / 1000.0);
        if (kind == "v") ++vertices_;
        return std::nullopt;
    }

    std::optional<std::string> in_face(std::string_view line) {
        long long corners = 0;
        for (std::string_view word = next_word(line); !word.empty(); word = next_word(line)) {
            if (word.starts_with('#')) break;
            long long index = 0;
            const auto [end, error] =
                std::from_chars(word.data(), word.data() + word.size(), index);
            const bool ends_well = end == word.data() + word.size() || *end == '/';
            if (error != std::errc{} || !ends_well || index == 0 || -index > vertices_)
                return fmt::format("its line {} uses a vertex that does not exist", line_number_);
            if (index > highest_) {
                highest_ = index;
                highest_line_ = line_number_;
            }
            ++corners;
        }
        triangles_ += std::max(0LL, corners - 2);
        return std::nullopt;
    }

    bool has_groups_ = false;
    long long line_number_ = 0;
    long long vertices_ = 0;
    long long triangles_ = 0;
    long long highest_ = 0;
    long long highest_line_ = 0;
};

/// Opens material files beside the mesh, but nothing that is no plain file.
class MaterialsBeside : public tinyobj::MaterialReader {
public:
    explicit MaterialsBeside(std::filesystem::path folder) : folder_(std::move(folder)) {}

    bool operator()(const std::string& name, std::vector<tinyobj::material_t>* materials,
                    std::map<std::string, int>* numbers, std::string* warning,
                    std::string* error) override {
        const FileText read = text_of_file(folder_ / name, most_file_bytes);
        const auto* text = std::get_if<std::string>(&read);
        if (!text) return false;
        files_.push_back(folder_ / name);
        std::istringstream stream(*text);
        tinyobj::LoadMtl(numbers, materials, &stream, warning, error);
        return true;
    }

    /// Those that were opened.
    std::vector<std::filesystem::path>& files() { return files_; }

private:
    std::filesystem::path folder_;
    std::vector<std::filesystem::path> files_;
};

struct Loaded {
    tinyobj::attrib_t attributes;
    std::vector<tinyobj::shape_t> shapes;
    std::vector<tinyobj::material_t> materials;
};

Material material_of(const tinyobj::material_t& described) {
    Material material;
    for (int k = 0; k < 3; ++k) {
        const double share = static_cast<double>(described.diffuse[k]);
        material.reflectance[k] =
            std::isfinite(share) ? std::clamp(share, 0.0, highest_reflectance) : plain_reflectance;
    }
    return material;
}

/// The loader's triangles as a mesh that is joined wherever the file uses a vertex again, until its
/// normals cut it.
class Assembly {
public:
    explicit Assembly(const Loaded& loaded) : loaded_(loaded) {
        mesh_.materials = {{Rgb(plain_reflectance), SurfaceRelief::none}};
        const std::size_t most = std::numeric_limits<std::uint16_t>::max() - 1u;
        for (std::size_t i = 0; i < std::min(most, loaded.materials.size()); ++i)
            mesh_.materials.push_back(material_of(loaded.materials[i]));
        const tinyobj::attrib_t& attributes = loaded.attributes;
        for (std::size_t i = 0; i < attributes.vertices.size() / 3; ++i)
            mesh_.positions.push_back(triple(attributes.vertices, i));
        for (std::size_t i = 0; i < attributes.normals.size() / 3; ++i)
            stated_.unit.push_back(unit_or_none(triple(attributes.normals, i)));
    }

    /// Nothing when a corner refers beyond the file's vertices. `has_groups` tells whether the file
    /// speaks of smoothing groups: to the loader all faces are of group 0 else.
    std::optional<ObjMesh> made(double crease_rad, bool has_groups) {
        Smoothing smoothing{crease_rad, {}};
        for (const tinyobj::shape_t& shape : loaded_.shapes)
            for (std::size_t i = 0; 3 * i + 2 < shape.mesh.indices.size(); ++i) {
                if (!add_triangle(shape.mesh, i)) return std::nullopt;
                if (has_groups && smoothing.groups.size() < mesh_.triangles.size())
                    smoothing.groups.push_back(shape.mesh.smoothing_group_ids.at(i));
            }
        const MeshSurvey survey = survey_of(mesh_);
        crease_normals(mesh_, smoothing, stated_);
        return ObjMesh{std::move(mesh_), survey, {}};
    }

private:
    bool add_triangle(const tinyobj::mesh_t& from, std::size_t i) {
        std::array<std::uint32_t, 3> corners{};
        std::array<std::int32_t, 3> normals{};
        for (std::size_t k = 0; k < 3; ++k) {
            const tinyobj::index_t& index = from.indices[3 * i + k];
            if (index.vertex_index < 0 ||
                static_cast<std::size_t>(index.vertex_index) >= mesh_.positions.size())
                return false;
            corners[k] = static_cast<std::uint32_t>(index.vertex_index);
            normals[k] =
                is_sound_normal(index.normal_index) ? index.normal_index : StatedNormals::none;
        }
        if (!(glm::length(across_triangle(mesh_, corners)) > 0.0f))
            return true;  // a sliver that no ray can meet
        const int number = i < from.material_ids.size() ? from.material_ids[i] : -1;
        const bool known =
            number >= 0 && static_cast<std::size_t>(number) + 1 < mesh_.materials.size();
        mesh_.triangles.push_back(corners);
        mesh_.material_of.push_back(static_cast<std::uint16_t>(known ? number + 1 : 0));
        stated_.of_corner.push_back(normals);
        return true;
    }

    bool is_sound_normal(int index) const {
        return index >= 0 && static_cast<std::size_t>(index) < stated_.unit.size() &&
               stated_.unit[static_cast<std::size_t>(index)] != glm::vec3(0.0f);
    }

    /// A null vector for one that has no direction to speak of.
    static glm::vec3 unit_or_none(const glm::vec3& given) {
        const float length = glm::length(given);
        return length > 1e-6f && std::isfinite(length) ? given / length : glm::vec3(0.0f);
    }

    static glm::vec3 triple(const std::vector<tinyobj::real_t>& values, std::size_t i) {
        return {values[3 * i], values[3 * i + 1], values[3 * i + 2]};
    }

    const Loaded& loaded_;
    Mesh mesh_;
    StatedNormals stated_;
};

std::string words_of(const FileFault& fault) {
    switch (fault.kind) {
        case FileFault::Kind::absent:
            return "it is not there";
        case FileFault::Kind::no_plain_file:
            return fmt::format("it is {}", fault.what);
        case FileFault::Kind::unreadable:
            return fmt::format("it can't be read: {}", fault.what);
        case FileFault::Kind::too_large:
            break;
    }
    return fmt::format("it holds {}; allowed is up to {}", fault.what, size_text(most_file_bytes));
}

}  // namespace

ObjResult read_obj(const std::filesystem::path& file, double crease_rad) {
    const FileText read = text_of_file(file, most_file_bytes);
    if (const auto* fault = std::get_if<FileFault>(&read)) return words_of(*fault);
    const std::string* text = &std::get<std::string>(read);
    Inspection inspection;
    if (auto fault = inspection.of(*text)) return *fault;
    Loaded loaded;
    MaterialsBeside materials(file.parent_path());
    std::string warning, error;
    std::istringstream stream(*text);
    if (!tinyobj::LoadObj(&loaded.attributes, &loaded.shapes, &loaded.materials, &warning, &error,
                          &stream, &materials, true, false))
        return "it is no sound OBJ file";
    std::optional<ObjMesh> made = Assembly(loaded).made(crease_rad, inspection.has_groups());
    if (!made) return "it uses a vertex that does not exist";
    if (made->mesh.triangles.empty()) return "it holds no triangle";
    split_long_edges(made->mesh, longest_edge_m, most_obj_triangles);
    made->material_files = std::move(materials.files());
    return std::move(*made);
}

}  // namespace lampflight
