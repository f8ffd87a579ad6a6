// What is wrong with a scene, as lines to read.
#pragma once

#include <string>
#include <vector>

#include "scene/basics/problem.h"

namespace lampflight {

/// One problem a line, then their count.
std::string problems_text(const std::vector<Problem>& problems);

}  // namespace lampflight
