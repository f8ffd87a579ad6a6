// Alike cautions told once: the worst of them with its own figures, the others counted.
#pragma once

#include <string>
#include <vector>

#include "scene/cautions/cautions.h"

namespace lampflight {

/// What makes findings alike, and by what they are counted.
struct Alike {
    std::string kind{};  ///< of sentence; empty: this one stands alone
    std::string noun{};  ///< of what is counted: "flight", "lamp", "take", ...
    std::string name{};  ///< of the one that this finding is about
    std::string take{};  ///< in which it was found; empty: in the whole shoot
    double worse = 0.0;  ///< the larger, the worse
};

/// A caution as it is found, of one thing in one take.
struct Finding {
    std::string about;
    CautionLevel level;
    std::string text;
    Alike alike{};
};

using Findings = std::vector<Finding>;

/// In the order in which their kinds first come. Findings of one kind, level and word of what they
/// are about become one caution; a graver level always stands by itself.
std::vector<Caution> told_once(const Findings& findings);

}  // namespace lampflight
