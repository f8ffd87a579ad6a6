#include "scene/subjects/read_obj.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <sstream>

#include <fmt/format.h>
#include <tiny_obj_loader.h>

#include "scene/basics/text_of_file.h"
#include "scene/basics/wording.h"
#include "scene/subjects/normals.h"
#include "scene/subjects/obj_text.h"

namespace lampflight {

namespace {

constexpr std::uintmax_t most_file_bytes = std::uintmax_t{1} << 30;
constexpr std::uintmax_t most_material_bytes = std::uintmax_t{16} << 20;
constexpr double longest_edge_m = 0.25;
constexpr double plain_reflectance = 0.35;
constexpr double highest_reflectance = 0.95;

/// Gives the loader its materials, and keeps the names.
class Materials : public tinyobj::MaterialReader {
public:
    explicit Materials(const MaterialText& text_of) : text_of_(text_of) {}

    bool operator()(const std::string& name, std::vector<tinyobj::material_t>* materials,
                    std::map<std::string, int>* numbers, std::string* warning,
                    std::string* error) override {
        const std::optional<std::string> text = text_of_(name);
        (text ? read : missing).push_back(name);
        if (!text) return false;
        std::istringstream stream(plain_lines(*text));
        tinyobj::LoadMtl(numbers, materials, &stream, warning, error);
        return true;
    }

    std::vector<std::string> read, missing;

private:
    const MaterialText& text_of_;
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
        return ObjMesh{std::move(mesh_), survey, {}, {}};
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

ObjResult read_obj_text(std::string_view text, const MaterialText& material, double crease_rad) {
    auto plain = plain_obj(text, most_obj_triangles);
    if (const auto* fault = std::get_if<std::string>(&plain)) return *fault;
    const auto& [plain_text, has_groups] = std::get<PlainObj>(plain);
    Loaded loaded;
    Materials materials(material);
    std::string warning, error;
    std::istringstream stream(plain_text);
    if (!tinyobj::LoadObj(&loaded.attributes, &loaded.shapes, &loaded.materials, &warning, &error,
                          &stream, &materials, true, false))
        return "it is no sound OBJ file";
    std::optional<ObjMesh> made = Assembly(loaded).made(crease_rad, has_groups);
    if (!made) return "it uses a vertex that does not exist";
    if (made->mesh.triangles.empty()) return "it holds no triangle";
    made->materials = std::move(materials.read);
    made->missing_materials = std::move(materials.missing);
    split_long_edges(made->mesh, longest_edge_m, most_obj_triangles);
    return std::move(*made);
}

ObjResult read_obj(const std::filesystem::path& file, double crease_rad) {
    const FileText read = text_of_file(file, most_file_bytes);
    if (const auto* fault = std::get_if<FileFault>(&read)) return words_of(*fault);
    const MaterialText beside = [&](const std::string& name) -> std::optional<std::string> {
        FileText text = text_of_file(file.parent_path() / name, most_material_bytes);
        if (auto* sound = std::get_if<std::string>(&text)) return std::move(*sound);
        return std::nullopt;
    };
    return read_obj_text(std::get<std::string>(read), beside, crease_rad);
}

}  // namespace lampflight
