// A shoot with the meshes of its subjects in world space: what rays, boxes and distances need.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "scene/shoot/shoot.h"
#include "scene/subjects/mesh.h"
#include "scene/subjects/mesh_survey.h"

namespace lampflight {

/// What the mesh file of a subject came to, in the file's own units.
struct SurveyedSubject {
    std::size_t subject;  ///< its place in their list
    MeshSurvey survey;
    std::vector<std::string> missing_materials{};  ///< files of them that can't be read
};

struct PlacedShoot : Shoot {
    std::vector<Mesh> meshes{};                       ///< one a subject, in their order
    std::vector<SurveyedSubject> surveyed{};          ///< those from files
    std::vector<std::filesystem::path> mesh_files{};  ///< with those of their materials
};

}  // namespace lampflight
