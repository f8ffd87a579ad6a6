#include "scene/reader/read_shoot.h"

#include <cerrno>
#include <fstream>
#include <system_error>

#include "scene/reader/load_subjects.h"
#include "scene/reader/read_unplaced.h"
#include "scene/reader/scene_text.h"

namespace lampflight {
namespace {

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
    Reading reading = read_unplaced(text, name.string(), overrides);
    std::vector<Problem> problems = std::move(reading.problems);
    if (problems.empty()) problems = load_subjects(reading.shoot, reading.map, name.parent_path());
    if (problems.empty()) return std::move(reading.shoot);
    return problems;
}

Checked<Shoot> read_shoot(const std::filesystem::path& file,
                          const std::vector<Override>& overrides) {
    Checked<std::string> text = text_of(file);
    if (auto* problems = std::get_if<std::vector<Problem>>(&text)) return *problems;
    return read_shoot_text(std::get<std::string>(text), file, overrides);
}

}  // namespace lampflight
