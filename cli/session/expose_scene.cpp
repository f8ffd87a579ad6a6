#include "cli/session/expose_scene.h"

#include <utility>

#include <fmt/format.h>

#include "cli/session/memory_bounds.h"
#include "cli/session/picture_size.h"
#include "cli/session/progress.h"
#include "renderer/film/finite.h"

namespace lampflight {
namespace {

/// The picture's size in the frame's shape, or why it can't be had.
Expected<glm::ivec2> size_of(const Camera& camera, const ExposeOptions& options) {
    if (options.size_px) return size_of_shape(camera.pixels, *options.size_px);
    return scaled_size(camera.pixels, options.longer_side_px);
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

Expected<ExposedScene> expose_scene(const ExposeOptions& options, const Session& session) {
    const auto text = scene_text_of(options.scene);
    if (!text) return text.failure();
    return expose_text(*text, options, session);
}

Expected<ExposedScene> expose_text(const std::string& text, const ExposeOptions& options,
                                   const Session& session) {
    auto shoot = sized_shoot(text, options);
    if (!shoot) return shoot.failure();
    auto takes = expose_takes(*shoot, options, session);
    if (!takes) return takes.failure();
    return ExposedScene{*std::move(shoot), *std::move(takes)};
}

Expected<PlacedShoot> sized_shoot(const std::string& text, const ExposeOptions& options) {
    auto shoot = shoot_of(text, options.scene);
    if (!shoot) return shoot.failure();
    if (const auto known = check_takes(*shoot, options.takes); !known) return known.failure();
    const auto size_px = size_of(shoot->camera, options);
    if (!size_px) return size_px.failure();
    set_picture_size(shoot->camera, *size_px);
    if (const auto enough = check_memory(*shoot, options); !enough) return enough.failure();
    return shoot;
}

Expected<std::vector<ExposedTake>> expose_takes(const PlacedShoot& shoot,
                                                const ExposeOptions& options,
                                                const Session& session) {
    auto takes = expose_watched(shoot, options, session);
    if (!takes || session.stop.stop_requested()) return interruption();
    if (const auto unsound = unsound_layer(*takes))
        return failure(ExitCode::fault,
                       fmt::format("a fault in the program: the light {} holds what is no number, "
                                   "so no picture is made of it",
                                   *unsound));
    return *std::move(takes);
}

}  // namespace lampflight
