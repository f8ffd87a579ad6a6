#include "cli/session/expose_scene.h"

#include <algorithm>
#include <utility>

#include "cli/session/picture_size.h"
#include "cli/session/progress.h"
#include "scene/basics/wording.h"

namespace lampflight {
namespace {

/// What is wrong with the names of takes asked for; nothing when all are there.
std::optional<std::string> trouble_with_takes(const Shoot& shoot,
                                              const std::vector<std::string>& names) {
    std::vector<std::string> known;
    for (const Take& take : shoot.takes) known.push_back(take.name);
    for (const std::string& name : names)
        if (find_named(shoot.takes, name) == nullptr)
            return "there is no take " + in_quotes(name) + hint(name, known);
    return std::nullopt;
}

/// Gives the camera the picture's size, or says why it can't have it.
std::optional<std::string> resize(Camera& camera, const ExposeOptions& options) {
    glm::ivec2 size_px = scaled_size(camera.pixels, options.longer_side_px);
    if (options.size_px) {
        const auto size = size_of_shape(camera.pixels, *options.size_px);
        if (const auto* trouble = std::get_if<std::string>(&size)) return *trouble;
        size_px = std::get<glm::ivec2>(size);
    }
    set_picture_size(camera, size_px);
    return std::nullopt;
}

std::optional<std::vector<ExposedTake>> expose_watched(const PlacedShoot& shoot,
                                                       const ExposeOptions& options,
                                                       const Session& session) {
    Progress progress(options.quiet ? nullptr : session.show);
    const Watch watch{[&progress](double done_share) { progress.update(done_share); },
                      session.stop};
    return expose(shoot, options.settings, watch, options.takes);
}

}  // namespace

std::variant<ExposedScene, Outcome> expose_scene(const ExposeOptions& options,
                                                 const Session& session) {
    auto text = scene_text_of(options.scene);
    if (auto* failed = std::get_if<Outcome>(&text)) return std::move(*failed);
    return expose_text(std::get<std::string>(text), options, session);
}

std::variant<ExposedScene, Outcome> expose_text(const std::string& text,
                                                const ExposeOptions& options,
                                                const Session& session) {
    auto opened = shoot_of(text, options.scene);
    if (auto* failed = std::get_if<Outcome>(&opened)) return std::move(*failed);
    PlacedShoot shoot = std::get<PlacedShoot>(std::move(opened));
    if (const auto trouble = trouble_with_takes(shoot, options.takes))
        return failure(ExitCode::wrong_command_line, *trouble);
    if (const auto trouble = resize(shoot.camera, options))
        return failure(ExitCode::wrong_command_line, *trouble);
    auto takes = expose_watched(shoot, options, session);
    if (!takes || session.stop.stop_requested()) return interruption();
    return ExposedScene{std::move(shoot), std::move(*takes)};
}

}  // namespace lampflight
