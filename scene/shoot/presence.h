// Subjects present in a take: who stands there with whom, and when.
#pragma once

#include <cstddef>
#include <vector>

#include "scene/shoot/shoot.h"

namespace lampflight {

/// Places in the shoot's list of the subjects that a take calls in, rising, whenever they come.
std::vector<std::size_t> present_subjects(const Shoot& shoot, const Take& take);

/// Subjects that stand there together, and when.
struct Presence {
    std::vector<std::size_t>
        subjects;       ///< places in the shoot's list, rising; none for empty ground
    TimeWindows times;  ///< together with those of the other presences: the shutter
};

/// The presences of a take in the order in which they first stand there, each once; a single one
/// where nobody comes or goes while the shutter is open.
std::vector<Presence> presences(const Shoot& shoot, const Take& take);

}  // namespace lampflight
