#include "renderer/sampling/effort.h"

#include <algorithm>
#include <cmath>

namespace lampflight {
namespace {

constexpr double usual_pixels = 960.0 * 640.0;

/// The nearest power of two, on a scale of ratios, within bounds that are powers of two too.
int nearest_power(double value, int low, int high) {
    return std::clamp(1 << std::max(0, static_cast<int>(std::lround(std::log2(value)))), low, high);
}

}  // namespace

Effort scaled_to(Effort effort, const glm::ivec2& pixels) {
    const double side = std::sqrt(static_cast<double>(pixels.x) * pixels.y / usual_pixels);
    const auto error = static_cast<float>(std::clamp(side, 0.25, 2.5));
    effort.smooth_error *= error;
    effort.shadow_error *= error;
    effort.plain_samples =
        nearest_power(effort.plain_samples / side, effort.plain_samples, effort.film_samples);
    effort.solved_instants = nearest_power(effort.solved_instants / side, 4, 64);
    effort.first_instants = nearest_power(effort.first_instants / side, 2,
                                          std::clamp(effort.solved_instants / 4, 2, 16));
    const double directions = std::clamp(1.0 / side, 0.25, 4.0);
    effort.directions = std::max(effort.film_samples,
                                 static_cast<int>(std::lround(effort.directions * directions)));
    effort.plain_directions = std::max(
        effort.plain_samples, static_cast<int>(std::lround(effort.plain_directions * directions)));
    effort.patch_rays *= static_cast<float>(directions);
    return effort;
}

}  // namespace lampflight
