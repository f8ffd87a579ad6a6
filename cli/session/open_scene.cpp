#include "cli/session/open_scene.h"

#include <utility>

#include "cli/session/print_problems.h"
#include "cli/session/whole_file.h"
#include "scene/reader/scene_text.h"

namespace lampflight {

std::variant<std::string, Outcome> scene_text_of(const SceneOptions& options) {
    FileText file = read_file(options.file, largest_scene_bytes + 1);
    if (!file.text)
        return failure(ExitCode::file_trouble,
                       file.trouble + ", or begin with 'lampflight start halo'");
    return std::move(*file.text);
}

std::variant<PlacedShoot, Outcome> shoot_of(const std::string& text, const SceneOptions& options) {
    Checked<PlacedShoot> read = read_placed_shoot(text, options.file, options.overrides);
    if (const auto* problems = std::get_if<std::vector<Problem>>(&read))
        return Outcome{ExitCode::wrong_scene, "", problems_text(*problems)};
    return std::get<PlacedShoot>(std::move(read));
}

std::variant<PlacedShoot, Outcome> open_scene(const SceneOptions& options) {
    auto text = scene_text_of(options);
    if (auto* failed = std::get_if<Outcome>(&text)) return std::move(*failed);
    return shoot_of(std::get<std::string>(text), options);
}

}  // namespace lampflight
