#include "scene/subjects/read_obj.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <fstream>
#include <map>
#include <optional>
#include <sstream>
#include <string_view>
#include <unordered_map>

#include <fmt/format.h>
#include <tiny_obj_loader.h>

namespace lampflight {

namespace {

constexpr std::uintmax_t most_file_bytes = std::uintmax_t{1} << 30;
constexpr double longest_edge_m = 0.25;
constexpr double plain_reflectance = 0.35;
constexpr double highest_reflectance = 0.95;
// Beyond this a float no longer holds a hand's breadth.
constexpr double farthest_m = 1e6;

/// The whole of a plain file; nothing for what is none, or is far too large.
std::optional<std::string> text_of(const std::filesystem::path& file) {
    std::error_code error;
    if (!std::filesystem::is_regular_file(file, error)) return std::nullopt;
    if (std::filesystem::file_size(file, error) > most_file_bytes || error) return std::nullopt;
    std::ifstream stream(file, std::ios::binary);
    std::ostringstream text;
    text << stream.rdbuf();
    if (!stream) return std::nullopt;
    return std::move(text).str();
}

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
        const std::optional<std::string> text = text_of(folder_ / name);
        if (!text) return false;
        std::istringstream stream(*text);
        tinyobj::LoadMtl(numbers, materials, &stream, warning, error);
        return true;
    }

private:
    std::filesystem::path folder_;
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

/// Joins the loader's corners into vertices, one for each pair of position and normal.
class Assembly {
public:
    explicit Assembly(const Loaded& loaded) : loaded_(loaded) {
        mesh_.materials = {{Rgb(plain_reflectance), SurfaceRelief::none}};
        const std::size_t most = std::numeric_limits<std::uint16_t>::max() - 1u;
        for (std::size_t i = 0; i < std::min(most, loaded.materials.size()); ++i)
            mesh_.materials.push_back(material_of(loaded.materials[i]));
        for (const tinyobj::shape_t& shape : loaded.shapes)
            for (const tinyobj::index_t& index : shape.mesh.indices)
                shaded_ = shaded_ && normal(index.normal_index).has_value();
    }

    /// Nothing when a corner refers beyond the file's vertices.
    std::optional<Mesh> made() {
        for (const tinyobj::shape_t& shape : loaded_.shapes)
            for (std::size_t i = 0; 3 * i + 2 < shape.mesh.indices.size(); ++i)
                if (!add_triangle(shape.mesh, i)) return std::nullopt;
        if (!shaded_) smooth_normals(mesh_);
        return std::move(mesh_);
    }

private:
    bool add_triangle(const tinyobj::mesh_t& from, std::size_t i) {
        std::array<std::uint32_t, 3> corners{};
        for (std::size_t k = 0; k < 3; ++k) {
            const tinyobj::index_t& index = from.indices[3 * i + k];
            if (index.vertex_index < 0 || static_cast<std::size_t>(index.vertex_index) >=
                                              loaded_.attributes.vertices.size() / 3)
                return false;
            corners[k] = vertex(index);
        }
        const auto& p = mesh_.positions;
        const glm::vec3 face =
            glm::cross(p[corners[1]] - p[corners[0]], p[corners[2]] - p[corners[0]]);
        if (!(glm::length(face) > 0.0f)) return true;  // a sliver that no ray can meet
        const int number = i < from.material_ids.size() ? from.material_ids[i] : -1;
        const bool known =
            number >= 0 && static_cast<std::size_t>(number) + 1 < mesh_.materials.size();
        mesh_.triangles.push_back(corners);
        mesh_.material_of.push_back(static_cast<std::uint16_t>(known ? number + 1 : 0));
        return true;
    }

    std::uint32_t vertex(const tinyobj::index_t& index) {
        const int normal_index = shaded_ ? index.normal_index : -1;
        const std::uint64_t key =
            (static_cast<std::uint64_t>(static_cast<std::uint32_t>(normal_index)) << 32) |
            static_cast<std::uint32_t>(index.vertex_index);
        const auto [entry, is_new] =
            made_.try_emplace(key, static_cast<std::uint32_t>(mesh_.positions.size()));
        if (is_new) {
            mesh_.positions.push_back(triple(loaded_.attributes.vertices, index.vertex_index));
            if (shaded_) mesh_.normals.push_back(*normal(normal_index));
        }
        return entry->second;
    }

    /// A normal of the file; nothing where it is absent or has no length.
    std::optional<glm::vec3> normal(int index) const {
        const auto& normals = loaded_.attributes.normals;
        if (index < 0 || static_cast<std::size_t>(index) >= normals.size() / 3) return std::nullopt;
        const glm::vec3 given = triple(normals, index);
        const float length = glm::length(given);
        if (!(length > 1e-6f) || !std::isfinite(length)) return std::nullopt;
        return given / length;
    }

    static glm::vec3 triple(const std::vector<tinyobj::real_t>& values, int index) {
        const std::size_t at = 3 * static_cast<std::size_t>(index);
        return {values[at], values[at + 1], values[at + 2]};
    }

    const Loaded& loaded_;
    Mesh mesh_;
    std::unordered_map<std::uint64_t, std::uint32_t> made_;
    bool shaded_ = true;  ///< every corner has a normal of its own
};

}  // namespace

ObjResult read_obj(const std::filesystem::path& file) {
    const std::optional<std::string> text = text_of(file);
    if (!text) return "it can't be read as a file of up to 1 GB";
    if (auto fault = Inspection().of(*text)) return *fault;
    Loaded loaded;
    MaterialsBeside materials(file.parent_path());
    std::string warning, error;
    std::istringstream stream(*text);
    if (!tinyobj::LoadObj(&loaded.attributes, &loaded.shapes, &loaded.materials, &warning, &error,
                          &stream, &materials, true, false))
        return "it is no sound OBJ file";
    std::optional<Mesh> mesh = Assembly(loaded).made();
    if (!mesh) return "it uses a vertex that does not exist";
    if (mesh->triangles.empty()) return "it holds no triangle";
    split_long_edges(*mesh, longest_edge_m, most_obj_triangles);
    return std::move(*mesh);
}

}  // namespace lampflight
