// Which passes a photograph needs: one for every set of subjects that stand there together,
// whether for a whole take or for a part of it, and whichever takes they are.
#pragma once

#include <vector>

#include "scene/shoot/shoot.h"

namespace lampflight {

/// A take's part in a pass.
struct PassUse {
    std::size_t take;  ///< its place in the list of takes
    TimeWindows times;
    std::size_t sky;  ///< of its moment, by its place among the pass's
};

struct SharedPass {
    std::vector<std::size_t> subjects;  ///< places in the shoot's list
    std::vector<double> skies_after_s;  ///< moments of the skies; 0 where no place makes them move
    std::vector<PassUse> uses;          ///< in the order of the takes; each take once at most
};

/// The passes in the order in which the takes first need them.
std::vector<SharedPass> shared_passes(const Shoot& shoot, const std::vector<const Take*>& takes);

}  // namespace lampflight
