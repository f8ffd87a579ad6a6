#include "cli/session/open_scene.h"

#include <system_error>
#include <utility>

#include <fmt/format.h>

#include "cli/session/file_kind.h"
#include "cli/session/outputs.h"
#include "cli/session/problem_text.h"
#include "cli/session/whole_file.h"
#include "scene/basics/files_there.h"
#include "scene/basics/text_of_file.h"
#include "scene/basics/wording.h"
#include "scene/reader/scene_text.h"

namespace lampflight {
namespace {

/// All that a shoot was read from.
std::vector<InputFile> files_of(const PlacedShoot& shoot, const std::filesystem::path& scene) {
    std::vector<InputFile> files;
    for (const auto& [name, text] : shoot.path_files)
        files.push_back({scene.parent_path() / name, "what a flight of the scene is drawn from"});
    for (const std::filesystem::path& file : shoot.mesh_files)
        files.push_back({file, "what a subject of the scene is made from"});
    return files;
}

}  // namespace

Expected<std::string> scene_text_of(const SceneOptions& options) {
    if (const auto fit = check_outputs(options.outputs, {{options.file, "the scene itself"}}); !fit)
        return fit.failure();
    const std::string remedy = "'lampflight start halo -o my-halo.toml' makes one";
    const std::string name = options.file.string();
    std::error_code error;
    const auto kind = std::filesystem::status(options.file, error).type();
    if (kind == std::filesystem::file_type::not_found ||
        kind == std::filesystem::file_type::directory)
        return failure(ExitCode::file_trouble,
                       fmt::format("there is no scene {}; {}; {}", name,
                                   looked_for(options.file, ".toml"), remedy));
    if (const auto other = trouble_as_scene(first_bytes_of(options.file), name))
        return failure(ExitCode::wrong_scene, *other);
    FileText read = text_of_file(options.file, largest_scene_bytes);
    if (const auto* fault = std::get_if<FileFault>(&read)) {
        if (fault->kind == FileFault::Kind::no_plain_file)
            return failure(ExitCode::file_trouble,
                           fmt::format("{} is {}, no scene; {}", name, fault->what, remedy));
        if (fault->kind == FileFault::Kind::too_large)
            return failure(ExitCode::wrong_scene,
                           fmt::format("{} holds {}; allowed is a text of up to {} bytes", name,
                                       fault->what, largest_scene_bytes));
        return failure(ExitCode::file_trouble,
                       fmt::format("can't read {}: {}; check the name and the folder; {}", name,
                                   fault->what, remedy));
    }
    return std::get<std::string>(std::move(read));
}

Expected<PlacedShoot> shoot_of(const std::string& text, const SceneOptions& options) {
    Checked<PlacedShoot> read = read_placed_shoot(text, options.file, options.overrides);
    if (const auto* problems = std::get_if<std::vector<Problem>>(&read))
        return wrong_scene(*problems, text);
    auto& shoot = std::get<PlacedShoot>(read);
    if (const auto fit = check_outputs(options.outputs, files_of(shoot, options.file)); !fit)
        return fit.failure();
    return std::move(shoot);
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
