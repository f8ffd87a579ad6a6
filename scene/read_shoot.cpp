#include "scene/read_shoot.h"

#include <algorithm>
#include <cerrno>
#include <fstream>
#include <iterator>
#include <system_error>
#include <tuple>

#include "scene/check_shoot.h"
#include "scene/load_subjects.h"
#include "scene/overrides.h"
#include "scene/read_tables.h"
#include "scene/scene_text.h"

namespace lampflight {
namespace {

/// By line and column; those of `--set`, which have none, come first in their own order.
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

/// The file's text, one byte more than allowed at most.
Checked<std::string> text_of(const std::filesystem::path& file) {
    std::error_code error;
    if (std::filesystem::is_directory(file, error))
        return std::vector{Problem{file.string(), 0, 0, "can't be read: it is a folder"}};
    std::ifstream stream(file, std::ios::binary);
    std::string text(largest_scene_bytes + 1, '\0');
    if (stream) stream.read(text.data(), static_cast<std::streamsize>(text.size()));
    if (!stream && !stream.eof())
        return std::vector{Problem{file.string(), 0, 0,
                                   "can't be read: " + std::generic_category().message(errno)}};
    text.resize(static_cast<std::size_t>(stream.gcount()));
    return text;
}

}  // namespace

Checked<Shoot> read_shoot_text(const std::string& text, const std::filesystem::path& name,
                               const std::vector<Override>& overrides) {
    Checked<SceneTable> parsed = read_scene_text(text, name.string());
    if (auto* problems = std::get_if<std::vector<Problem>>(&parsed)) return *problems;
    SceneTable& file = std::get<SceneTable>(parsed);
    std::vector<Problem> problems = apply_overrides(file, overrides);
    Reading reading = read_tables(file, name.string());
    append(problems, reading.problems);
    append(problems, check_shoot(reading));
    if (problems.empty()) {
        fill_in_takes(reading.shoot);
        append(problems, load_subjects(reading.shoot, reading.map, name.parent_path()));
    }
    if (problems.empty()) return std::move(reading.shoot);
    sort_by_place(problems);
    return problems;
}

Checked<Shoot> read_shoot(const std::filesystem::path& file,
                          const std::vector<Override>& overrides) {
    Checked<std::string> text = text_of(file);
    if (auto* problems = std::get_if<std::vector<Problem>>(&text)) return *problems;
    return read_shoot_text(std::get<std::string>(text), file, overrides);
}

}  // namespace lampflight
