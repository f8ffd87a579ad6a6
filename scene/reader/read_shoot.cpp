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

/// A reading, whose problems include those of its checks and of the files of its flights.
Checked<Reading> read_all(const std::string& text, const std::filesystem::path& name,
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
    reading.problems = std::move(problems);
    return reading;
}

/// The same, if it is sound.
Checked<Reading> sound(Reading reading) {
    sort_by_place(reading.problems);
    if (!reading.problems.empty()) return std::move(reading.problems);
    fill_in_takes(reading.shoot);
    add_own_lights(reading.shoot);
    return reading;
}

}  // namespace

Checked<Shoot> read_shoot(const std::string& text, const std::filesystem::path& name,
                          const std::vector<Override>& overrides, const PathFiles* path_files) {
    Checked<Reading> read = read_all(text, name, overrides, path_files);
    if (auto* reading = std::get_if<Reading>(&read)) read = sound(std::move(*reading));
    if (auto* problems = std::get_if<std::vector<Problem>>(&read)) return *problems;
    return std::get<Reading>(std::move(read)).shoot;
}

Checked<PlacedShoot> read_placed_shoot(const std::string& text, const std::filesystem::path& name,
                                       const std::vector<Override>& overrides) {
    const std::filesystem::path beside = name.parent_path();
    Checked<Reading> read = read_all(text, name, overrides);
    LoadedMeshes meshes;
    if (auto* reading = std::get_if<Reading>(&read)) {
        meshes = load_meshes(*reading, beside, reading->problems);
        read = sound(std::move(*reading));
    }
    if (auto* problems = std::get_if<std::vector<Problem>>(&read)) return *problems;
    return place_subjects(std::get<Reading>(std::move(read)), std::move(meshes), beside);
}

}  // namespace lampflight
