// Subjects from mesh files: Wavefront OBJ with its MTL, in metres, z up, front to -y.
#pragma once

#include <filesystem>
#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "scene/subjects/mesh.h"
#include "scene/subjects/mesh_survey.h"

namespace lampflight {

/// The largest mesh that is taken, in triangles; splitting long edges stops there as well.
constexpr std::size_t most_obj_triangles = 2'000'000;

/// A mesh as light needs it, and what the file's own triangles came to.
struct ObjMesh {
    Mesh mesh;
    MeshSurvey survey;
    std::vector<std::string> materials{};          ///< files of them that were read, by name
    std::vector<std::string> missing_materials{};  ///< that could not be
};

/// A mesh, or what is wrong with the file in one sentence without its full stop.
using ObjResult = std::variant<ObjMesh, std::string>;

/// Loads a mesh for light: polygons cut into triangles, the materials' diffuse colour (Kd) taken as
/// linear reflectance from 0 to 0.95 and 0.35 where there is none, no edge longer than 0.25 m as
/// far as the limit above allows. Where the file has no sound normals they follow its smoothing
/// groups (`s`; before the first, `s off` as the format has it), and in a file without any the
/// crease angle: edges at which the surface turns by more stay sharp. Refuses what can't be read,
/// and what `plain_obj` does.
ObjResult read_obj(const std::filesystem::path& file, double crease_rad);

/// The text of a material file by the name that a mesh gives it; nothing where there is none.
using MaterialText = std::function<std::optional<std::string>(const std::string& name)>;

/// The same from the file's text.
ObjResult read_obj_text(std::string_view text, const MaterialText& material, double crease_rad);

}  // namespace lampflight
