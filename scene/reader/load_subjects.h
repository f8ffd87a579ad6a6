// Subjects get their meshes: built in or from a file, shaded as wished, set down on the ground.
#pragma once

#include <filesystem>
#include <optional>
#include <vector>

#include "scene/basics/problem.h"
#include "scene/reader/read_tables.h"
#include "scene/shoot/placed_shoot.h"
#include "scene/subjects/read_obj.h"

namespace lampflight {

/// The triangles of all meshes from files together; a million take some 0.2 GB.
constexpr std::size_t most_loaded_triangles = 4'000'000;

/// Meshes from files, one a subject; nothing for a model.
using LoadedMeshes = std::vector<std::optional<ObjMesh>>;

/// Loads those of all subjects whose "mesh" is sound, sought beside the scene file. What can't be
/// loaded is added to the problems, at the subject's "mesh".
LoadedMeshes load_meshes(const Reading& reading, const std::filesystem::path& beside,
                         std::vector<Problem>& problems);

/// A sound reading's shoot with its meshes in place.
Checked<PlacedShoot> place_subjects(Reading reading, LoadedMeshes meshes,
                                    const std::filesystem::path& beside);

}  // namespace lampflight
