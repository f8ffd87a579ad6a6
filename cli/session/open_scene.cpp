#include "cli/session/open_scene.h"

#include <system_error>
#include <utility>

#include <fmt/format.h>

#include "cli/session/file_kind.h"
#include "cli/session/problem_text.h"
#include "cli/session/whole_file.h"
#include "scene/basics/files_there.h"
#include "scene/basics/wording.h"
#include "scene/reader/scene_text.h"

namespace lampflight {

Expected<std::string> scene_text_of(const SceneOptions& options) {
    const std::string remedy = "'lampflight start halo -o my-halo.toml' makes one";
    std::error_code error;
    const auto kind = std::filesystem::status(options.file, error).type();
    if (kind == std::filesystem::file_type::not_found ||
        kind == std::filesystem::file_type::directory)
        return failure(ExitCode::file_trouble,
                       fmt::format("there is no scene {}; {}; {}", options.file.string(),
                                   looked_for(options.file, ".toml"), remedy));
    auto text = read_file(options.file, largest_scene_bytes + 1,
                          "check the name and the folder; " + remedy);
    if (!text) return text;
    if (const auto other = trouble_as_scene(*text, options.file.string()))
        return failure(ExitCode::wrong_scene, *other);
    return text;
}

Expected<PlacedShoot> shoot_of(const std::string& text, const SceneOptions& options) {
    Checked<PlacedShoot> read = read_placed_shoot(text, options.file, options.overrides);
    if (const auto* problems = std::get_if<std::vector<Problem>>(&read))
        return wrong_scene(*problems, text);
    return std::get<PlacedShoot>(std::move(read));
}

Expected<PlacedShoot> open_scene(const SceneOptions& options) {
    const auto text = scene_text_of(options);
    if (!text) return text.failure();
    return shoot_of(*text, options);
}

Outcome wrong_scene(const std::vector<Problem>& problems, const std::string& text) {
    return {ExitCode::wrong_scene, "", problems_text(problems, text)};
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
