#include "scene/reader/read_unplaced.h"

#include <algorithm>
#include <tuple>

#include "scene/reader/check_shoot.h"
#include "scene/reader/overrides.h"

namespace lampflight {
namespace {

void sort_by_place(std::vector<Problem>& problems) {
    std::stable_sort(problems.begin(), problems.end(), [](const Problem& a, const Problem& b) {
        return std::tie(a.line, a.column) < std::tie(b.line, b.column);
    });
}

void append(std::vector<Problem>& to, const std::vector<Problem>& more) {
    to.insert(to.end(), more.begin(), more.end());
}

void fill_in_takes(Shoot& shoot) {
    if (!shoot.photograph.takes.empty()) return;
    for (const Take& take : shoot.takes) shoot.photograph.takes.push_back(take.name);
}

}  // namespace

Reading read_unplaced(const std::string& text, const std::string& name,
                      const std::vector<Override>& overrides) {
    Checked<SceneTable> parsed = read_scene_text(text, name);
    if (auto* problems = std::get_if<std::vector<Problem>>(&parsed))
        return {.shoot = {}, .map = {}, .problems = *problems};
    SceneTable& file = std::get<SceneTable>(parsed);
    std::vector<Problem> problems = apply_overrides(file, overrides);
    Reading reading = read_tables(file, name);
    append(problems, reading.problems);
    append(problems, check_shoot(reading));
    sort_by_place(problems);
    reading.problems = std::move(problems);
    if (reading.problems.empty()) fill_in_takes(reading.shoot);
    return reading;
}

}  // namespace lampflight
