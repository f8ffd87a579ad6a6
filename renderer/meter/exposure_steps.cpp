#include "renderer/meter/exposure_steps.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "renderer/develop/tone.h"
#include "scene/basics/vector.h"

namespace lampflight {
namespace {

constexpr int darkest_edge = -10;
constexpr int brightest_edge = 2;
constexpr std::size_t edge_count = brightest_edge - darkest_edge + 2;

using Edges = std::array<double, edge_count>;

/// Edges as light relative to mid-grey.
const Edges& edges() {
    static const Edges values = [] {
        Edges made{};
        for (std::size_t i = 0; i + 1 < made.size(); ++i)
            made[i] = std::exp2(darkest_edge + static_cast<int>(i));
        made.back() = white_over_mid_grey();
        return made;
    }();
    return values;
}

}  // namespace

double white_over_mid_grey() {
    return 0.999 * saturation_over_mid_grey;
}

std::span<const double> step_edges_stops() {
    static const Edges stops = [] {
        Edges made = edges();
        for (double& edge : made) edge = std::log2(edge);
        return made;
    }();
    return stops;
}

std::size_t step_of(double over_mid_grey) {
    return static_cast<std::size_t>(std::ranges::upper_bound(edges(), over_mid_grey) -
                                    edges().begin());
}

double picture_luminance(const glm::vec3& pixel) {
    return luminance(Rgb(pixel));
}

std::vector<double> shares_by_step(const Image& over_mid_grey) {
    std::vector<std::size_t> counts(edge_count + 1);
    for (const glm::vec3& pixel : over_mid_grey.pixels) ++counts[step_of(picture_luminance(pixel))];
    std::vector<double> shares;
    for (const std::size_t count : counts)
        shares.push_back(static_cast<double>(count) /
                         static_cast<double>(over_mid_grey.pixels.size()));
    return shares;
}

}  // namespace lampflight
