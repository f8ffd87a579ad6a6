#include "scene/basics/problem.h"

namespace lampflight {

std::string to_string(const Problem& problem) {
    std::string place = problem.file;
    if (problem.line > 0)
        place += ':' + std::to_string(problem.line) + ':' + std::to_string(problem.column);
    return place + ": " + problem.text;
}

}  // namespace lampflight
