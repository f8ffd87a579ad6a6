#include "cli/session/memory_bounds.h"

#include <tbb/task_arena.h>

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "cli/session/machine_memory.h"
#include "cli/session/picture_size.h"

namespace lampflight {
namespace {

constexpr double gb = 1e9;

Workshop workshop_of(const PlacedShoot& shoot) {
    return {held_bytes(shoot), tbb::this_task_arena::max_concurrency()};
}

/// What a user may change, what helps most first.
std::string remedy_for(const MemoryNeed& need, const PlacedShoot& shoot,
                       const ExposeOptions& options) {
    std::string sizes = "a smaller --size";
    const std::size_t takes =
        options.takes.empty() ? shoot.photograph.takes.size() : options.takes.size();
    if (takes > 1) sizes += " or fewer takes at once (--take)";
    if (need.held + need.geometry + need.bounces < 0.5 * need.peak()) return "try " + sizes;
    return "try coarser meshes, or " + sizes;
}

Expected<Done> check_memory(const PlacedShoot& shoot, const ExposeOptions& options,
                            const MemoryNeed& need) {
    const glm::ivec2 pixels = shoot.camera.pixels;
    return check_memory(need, options.memory_gb,
                        fmt::format("a picture of {} x {} pixels", pixels.x, pixels.y),
                        remedy_for(need, shoot, options));
}

}  // namespace

Workshop workshop_now() {
    return {memory_in_use_bytes(), tbb::this_task_arena::max_concurrency()};
}

std::string gigabytes_text(double bytes) {
    const double amount = bytes / gb;
    return amount < 1.0 ? fmt::format("{:.2f} GB", std::ceil(100.0 * amount) / 100.0)
                        : fmt::format("{:.3g} GB", amount);
}

std::string about_seconds_text(double seconds) {
    if (seconds < 10.0) return "seconds";
    const auto rounded = [](double value) {
        const double step = std::pow(10.0, std::floor(std::log10(value)));
        return std::round(value / step) * step;
    };
    if (seconds < 90.0) return fmt::format("about {:.0f} s", rounded(seconds));
    if (seconds < 5400.0) return fmt::format("about {:.0f} min", rounded(seconds / 60.0));
    return fmt::format("about {:.0f} h", rounded(seconds / 3600.0));
}

Expected<Done> check_memory(const MemoryNeed& need, const std::optional<double>& memory_gb,
                            const std::string& work, const std::string& remedy) {
    const double machine_bytes = machine_memory_bytes();
    const double there_bytes = memory_gb ? std::min(gb * *memory_gb, machine_bytes) : machine_bytes;
    const double needed_bytes = need.peak();
    if (needed_bytes <= there_bytes) return Done{};
    return failure(ExitCode::fault,
                   fmt::format("{} needs up to {} of memory, and {} {}; {}", work,
                               gigabytes_text(needed_bytes),
                               there_bytes < machine_bytes ? "--memory allows" : "this machine has",
                               gigabytes_text(there_bytes), remedy));
}

Expected<Done> check_memory(const PlacedShoot& shoot, const ExposeOptions& options) {
    return check_memory(
        shoot, options,
        memory_need(shoot, options.settings, options.takes, options.picture, workshop_of(shoot)));
}

Expected<RenderNeed> usual_render(PlacedShoot& shoot, const std::optional<double>& memory_gb,
                                  const PictureBytes& picture) {
    ExposeOptions options;
    options.memory_gb = memory_gb;
    const Camera own = shoot.camera;
    set_picture_size(shoot.camera,
                     scaled_size(own.pixels, usual_longer_side_px(options.settings.quality)));
    const Workshop workshop = workshop_of(shoot);
    const MemoryNeed need = memory_need(shoot, options.settings, {}, picture, workshop);
    const auto enough = check_memory(shoot, options, need);
    const RenderNeed render{options.settings.quality, shoot.camera.pixels, need.peak(),
                            seconds_needed(shoot, options.settings, {}, workshop.threads)};
    shoot.camera = own;
    if (!enough) return enough.failure();
    return render;
}

}  // namespace lampflight
