// Where a lamp points.
#pragma once

#include <string>
#include <variant>

#include "scene/basics/vector.h"

namespace lampflight {

enum class AimWord { down, ahead, centre };

struct AimAtSubject {
    std::string name;

    bool operator==(const AimAtSubject&) const = default;
};

/// A word, a subject's name, or a direction (world axes, any length but zero).
using Aim = std::variant<AimWord, AimAtSubject, Vec3>;

}  // namespace lampflight
