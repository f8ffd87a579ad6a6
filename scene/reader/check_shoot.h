// What no single value shows: names, references, and whether the parts of a shoot fit together.
#pragma once

#include <vector>

#include "scene/basics/problem.h"
#include "scene/reader/read_tables.h"

namespace lampflight {

/// Every contradiction in what was read. Values that could not be read are left out of it.
std::vector<Problem> check_shoot(const Reading& reading);

}  // namespace lampflight
