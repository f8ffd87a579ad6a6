#include "cli/render_command.h"

#include <chrono>
#include <utility>

#include <fmt/format.h>

#include "cli/picture_size.h"
#include "cli/whole_file.h"
#include "cli/write_picture.h"

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

Outcome run_render(const RenderOptions& options, const Session& session) {
    const auto start = std::chrono::steady_clock::now();
    const auto kind = picture_kind(options.picture);
    if (!kind)
        return failure(ExitCode::wrong_command_line,
                       fmt::format("can't tell what kind of picture {} is; end its name in .png, "
                                   "in .tif for 16 bits, or in .hdr for linear light",
                                   options.picture.string()));
    // Before the work, not after it.
    if (const auto trouble = trouble_writing(options.picture))
        return failure(ExitCode::file_trouble, *trouble);

    auto exposed = expose_scene(options.expose, session);
    if (auto* failed = std::get_if<Outcome>(&exposed)) return std::move(*failed);
    auto& [shoot, takes] = std::get<ExposedScene>(exposed);
    Image picture = photograph(shoot, takes, options.clean ? Noise::left_out : Noise::counted);
    takes.clear();  // the film is large, and done with
    const auto bytes = picture_bytes(std::move(picture), *kind, picture_notes(shoot, options.expose));
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
