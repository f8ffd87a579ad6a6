#include "cli/commands/render.h"

#include <chrono>
#include <utility>

#include <fmt/format.h>

#include "cli/pictures/write_picture.h"
#include "cli/session/picture_size.h"
#include "cli/session/whole_file.h"

namespace lampflight {

int longer_side_px(Quality quality) {
    switch (quality) {
        case Quality::draft:
            return 960;
        case Quality::good:
            return 1500;
        case Quality::fine:
            break;
    }
    return longest_side_px;
}

namespace {

std::optional<Outcome> trouble_with_outputs(const RenderOptions& options) {
    if (const auto trouble = trouble_writing(options.picture))
        return failure(ExitCode::file_trouble, *trouble);
    if (options.layers.empty()) return std::nullopt;
    if (options.layers.lexically_normal() == options.picture.lexically_normal())
        return failure(ExitCode::wrong_command_line,
                       "picture and layers can't be the same file; name two");
    if (const auto trouble = trouble_writing(options.layers))
        return failure(ExitCode::file_trouble, *trouble);
    return std::nullopt;
}

WriteResult write_layers_of(const ExposedScene& exposed, const std::string& text,
                            const RenderOptions& options, const Session& session) {
    const LayersSource source{exposed.shoot,
                              exposed.takes,
                              text,
                              options.expose.scene.file.filename().string(),
                              options.expose.scene.overrides,
                              options.expose.settings};
    return write_layers(options.layers, source, options.layer_samples, session.stop);
}

}  // namespace

Outcome run_render(const RenderOptions& options, const Session& session) {
    const auto start = std::chrono::steady_clock::now();
    const auto kind = picture_kind(options.picture);
    if (!kind) return failure(ExitCode::wrong_command_line, unknown_kind_text(options.picture));
    // Before the work, not after it.
    if (auto trouble = trouble_with_outputs(options)) return std::move(*trouble);

    auto text = scene_text_of(options.expose.scene);
    if (auto* failed = std::get_if<Outcome>(&text)) return std::move(*failed);
    auto exposed = expose_text(std::get<std::string>(text), options.expose, session);
    if (auto* failed = std::get_if<Outcome>(&exposed)) return std::move(*failed);
    auto& [shoot, takes] = std::get<ExposedScene>(exposed);
    if (!options.layers.empty()) {
        const WriteResult result = write_layers_of(std::get<ExposedScene>(exposed),
                                                   std::get<std::string>(text), options, session);
        if (result.written == Written::stopped) return interruption();
        if (result.written == Written::failed)
            return failure(ExitCode::file_trouble, result.trouble);
    }
    const Noise noise = options.clean ? Noise::left_out : Noise::counted;
    const auto bytes = picture_bytes(
        shoot.camera.pixels, [&](const KeepRows& keep) { photograph(shoot, takes, noise, keep); },
        *kind, picture_notes(shoot, options.expose, noise));
    if (!bytes)
        return failure(ExitCode::fault, "not enough memory for the picture; try a smaller --size");
    const WriteResult result = write_whole_file(options.picture, *bytes, session.stop);
    if (result.written == Written::stopped) return interruption();
    if (result.written == Written::failed) return failure(ExitCode::file_trouble, result.trouble);

    if (options.expose.quiet) return {};
    const std::chrono::duration<double> taken = std::chrono::steady_clock::now() - start;
    return {ExitCode::done, "",
            fmt::format("{}: {} x {} pixels, {:.1f} s\n", options.picture.string(),
                        shoot.camera.pixels.x, shoot.camera.pixels.y, taken.count())};
}

}  // namespace lampflight
