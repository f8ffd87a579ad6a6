// Subjects get their meshes: built in or from a file, shaded as wished, set down on the ground.
#pragma once

#include <filesystem>

#include "scene/basics/problem.h"
#include "scene/reader/read_tables.h"
#include "scene/shoot/placed_shoot.h"

namespace lampflight {

/// A sound reading's shoot with its meshes, whose files are sought beside the scene file. What
/// can't be loaded is a problem at the subject's "mesh".
Checked<PlacedShoot> load_subjects(Reading reading, const std::filesystem::path& beside);

}  // namespace lampflight
