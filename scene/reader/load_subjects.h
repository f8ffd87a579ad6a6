// Subjects get their meshes: built in or from a file, shaded as wished, set down on the ground.
#pragma once

#include <filesystem>
#include <vector>

#include "scene/basics/problem.h"
#include "scene/reader/read_tables.h"

namespace lampflight {

/// Fills in `placed` of every subject. Mesh files are sought beside the scene file. What can't be
/// loaded is a problem at the subject's "mesh".
std::vector<Problem> load_subjects(Shoot& shoot, const SceneMap& map,
                                   const std::filesystem::path& beside);

/// Scales every material so that the mean luminance of the reflectance over the mesh's area is the
/// one wished for; components are kept to at most 1. A black mesh turns grey.
void set_mean_reflectance(Mesh& mesh, double reflectance);

}  // namespace lampflight
