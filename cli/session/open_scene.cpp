#include "cli/session/open_scene.h"

#include <utility>

#include <fmt/format.h>

#include "cli/session/whole_file.h"
#include "scene/basics/wording.h"
#include "scene/reader/scene_text.h"

namespace lampflight {

Expected<std::string> scene_text_of(const SceneOptions& options) {
    return read_file(options.file, largest_scene_bytes + 1,
                     "check the name and the folder, or begin with 'lampflight start halo'");
}

Expected<PlacedShoot> shoot_of(const std::string& text, const SceneOptions& options) {
    Checked<PlacedShoot> read = read_placed_shoot(text, options.file, options.overrides);
    if (const auto* problems = std::get_if<std::vector<Problem>>(&read))
        return wrong_scene(*problems);
    return std::get<PlacedShoot>(std::move(read));
}

Expected<PlacedShoot> open_scene(const SceneOptions& options) {
    const auto text = scene_text_of(options);
    if (!text) return text.failure();
    return shoot_of(*text, options);
}

Outcome wrong_scene(const std::vector<Problem>& problems) {
    std::string text;
    for (const Problem& problem : problems) text += to_string(problem) + "\n";
    text += fmt::format("{} problem{}; 'lampflight keys' lists what a scene may hold\n",
                        problems.size(), problems.size() == 1 ? "" : "s");
    return {ExitCode::wrong_scene, "", text};
}

Expected<Done> check_takes(const Shoot& shoot, const std::vector<std::string>& names) {
    std::vector<std::string> known;
    for (const Take& take : shoot.takes) known.push_back(take.name);
    for (const std::string& name : names)
        if (find_named(shoot.takes, name) == nullptr)
            return failure(ExitCode::wrong_command_line,
                           "there is no take " + in_quotes(name) + hint(name, known));
    return Done{};
}

}  // namespace lampflight
