// What is wrong with a scene that was read.
#pragma once

#include <variant>
#include <vector>

#include "scene/basics/problem.h"
#include "scene/shoot/shoot.h"

namespace lampflight {

/// None of a sound one.
inline std::vector<Problem> problems_of(const Checked<Shoot>& read) {
    const auto* problems = std::get_if<std::vector<Problem>>(&read);
    return problems ? *problems : std::vector<Problem>{};
}

}  // namespace lampflight
