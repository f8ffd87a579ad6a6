#include "cli/open_scene.h"

#include <utility>

#include "cli/print_problems.h"
#include "cli/whole_file.h"
#include "scene/scene_text.h"

namespace lampflight {

std::variant<Shoot, Outcome> open_scene(const SceneOptions& options) {
    const FileText file = read_file(options.file, largest_scene_bytes + 1);
    if (!file.text)
        return failure(ExitCode::file_trouble,
                       file.trouble + ", or begin with 'lampflight start halo'");
    Checked<Shoot> read = read_shoot_text(*file.text, options.file, options.overrides);
    if (const auto* problems = std::get_if<std::vector<Problem>>(&read))
        return Outcome{ExitCode::wrong_scene, "", problems_text(*problems)};
    return std::get<Shoot>(std::move(read));
}

}  // namespace lampflight
