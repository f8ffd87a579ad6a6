#include "cli/commands/start.h"

#include <algorithm>
#include <vector>

#include <fmt/format.h>

#include "cli/commands/start_scenes.h"
#include "cli/session/whole_file.h"
#include "scene/basics/wording.h"

namespace lampflight {
namespace {

Outcome unknown_kind(const std::string& kind) {
    std::vector<std::string> kinds;
    for (const StartScene& scene : start_scenes()) kinds.emplace_back(scene.kind);
    return failure(ExitCode::wrong_command_line,
                   "there is no scene " + in_quotes(kind) + " to start from" + hint(kind, kinds));
}

}  // namespace

Outcome run_start(const StartOptions& options, const Session& session) {
    const auto& scenes = start_scenes();
    const auto scene = std::find_if(scenes.begin(), scenes.end(), [&](const StartScene& candidate) {
        return candidate.kind == options.kind;
    });
    if (scene == scenes.end()) return unknown_kind(options.kind);
    if (options.file.empty()) return {ExitCode::done, std::string(scene->text), ""};

    const std::string file = options.file.string();
    if (const auto trouble = trouble_writing(options.file))
        return failure(ExitCode::file_trouble, *trouble);
    std::error_code error;
    if (!options.replace && std::filesystem::exists(options.file, error))
        return failure(ExitCode::file_trouble,
                       file + " is there already; add --replace to write over it");
    const WriteResult result = write_whole_file(options.file, scene->text, session.stop);
    if (result.written == Written::stopped) return interruption();
    if (result.written == Written::failed) return failure(ExitCode::file_trouble, result.trouble);
    return {ExitCode::done, "",
            fmt::format("{} is written; see it with 'lampflight check {}'\n", file, file)};
}

}  // namespace lampflight
