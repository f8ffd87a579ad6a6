#include "cli/session/print_problems.h"

#include <fmt/format.h>

namespace lampflight {

std::string problems_text(const std::vector<Problem>& problems) {
    std::string text;
    for (const Problem& problem : problems) text += to_string(problem) + "\n";
    return text + fmt::format("{} problem{}; 'lampflight keys' lists what a scene may hold\n",
                              problems.size(), problems.size() == 1 ? "" : "s");
}

}  // namespace lampflight
