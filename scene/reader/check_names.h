// Names of a shoot: each used once, and every reference to one that is there.
#pragma once

#include <vector>

#include "scene/basics/problem.h"
#include "scene/reader/read_tables.h"

namespace lampflight {

/// Names used twice or kept for something else, references to nothing, and the same one twice.
std::vector<Problem> check_names(const Reading& reading);

/// Names of the entries of a list of tables ("lamp"), in their order; empty for another table.
std::vector<std::string> names_in(const Shoot& shoot, std::string_view table);

}  // namespace lampflight
