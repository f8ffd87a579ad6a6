// From the tree of a scene file to a shoot, by the table of keys; and where everything stood.
#pragma once

#include <string>
#include <vector>

#include "scene/basics/problem.h"
#include "scene/reader/scene_map.h"
#include "scene/shoot/shoot.h"

namespace lampflight {

/// What came of reading: values that could not be read keep their defaults.
struct Reading {
    Shoot shoot;
    SceneMap map;
    std::vector<Problem> problems;
};

/// Reads every table; refuses unknown tables and keys, wrong kinds and numbers out of range, and
/// misses required ones. `name` is the file's.
Reading read_tables(const SceneTable& file, const std::string& name);

}  // namespace lampflight
