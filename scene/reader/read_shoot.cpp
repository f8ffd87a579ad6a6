#include "scene/reader/read_shoot.h"

#include <algorithm>
#include <tuple>

#include "scene/reader/check_shoot.h"
#include "scene/reader/load_flights.h"
#include "scene/reader/load_subjects.h"
#include "scene/reader/overrides.h"
#include "scene/shoot/own_lights.h"

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

/// A sound reading, which the meshes need for their problems' places.
Checked<Reading> read_checked(const std::string& text, const std::filesystem::path& name,
                              const std::vector<Override>& overrides,
                              const PathFiles* path_files = nullptr) {
    Checked<SceneTable> parsed = read_scene_text(text, name.string());
    if (auto* problems = std::get_if<std::vector<Problem>>(&parsed)) return *problems;
    SceneTable& file = std::get<SceneTable>(parsed);
    std::vector<Problem> problems = apply_overrides(file, overrides);
    Reading reading = read_tables(file, name.string());
    append(problems, reading.problems);
    append(problems, load_flights(reading, name.parent_path(), path_files));
    append(problems, check_shoot(reading));
    sort_by_place(problems);
    if (!problems.empty()) return problems;
    fill_in_takes(reading.shoot);
    add_own_lights(reading.shoot);
    return reading;
}

}  // namespace

Checked<Shoot> read_shoot(const std::string& text, const std::filesystem::path& name,
                          const std::vector<Override>& overrides, const PathFiles* path_files) {
    Checked<Reading> read = read_checked(text, name, overrides, path_files);
    if (auto* problems = std::get_if<std::vector<Problem>>(&read)) return *problems;
    return std::get<Reading>(std::move(read)).shoot;
}

Checked<PlacedShoot> read_placed_shoot(const std::string& text, const std::filesystem::path& name,
                                       const std::vector<Override>& overrides) {
    Checked<Reading> read = read_checked(text, name, overrides);
    if (auto* problems = std::get_if<std::vector<Problem>>(&read)) return *problems;
    return load_subjects(std::get<Reading>(std::move(read)), name.parent_path());
}

}  // namespace lampflight
