#include "cli/layers/file_light.h"

#include <algorithm>
#include <cmath>

#include "cli/layers/unfit_layers.h"
#include "scene/basics/vector.h"
#include "scene/basics/wording.h"

namespace lampflight {
namespace {

constexpr float largest_lxs = 1e12f;

bool is_light(const glm::vec3& lxs) {
    const auto in_range = [](float value) { return std::abs(value) <= largest_lxs; };
    if (!in_range(lxs.x) || !in_range(lxs.y) || !in_range(lxs.z)) return false;
    // A colour beyond Rec. 709 may lack one component, but no light is darker than none.
    const float most = std::max({std::abs(lxs.x), std::abs(lxs.y), std::abs(lxs.z)});
    return luminance(Rgb(lxs)) >= -1e-3 * static_cast<double>(most);
}

[[noreturn]] void refuse(const std::string& layer) {
    throw UnfitLayers{in_quotes(layer) + " holds what is no light"};
}

}  // namespace

void check_light(ConstRow pixels, const std::string& layer) {
    if (!all_within({floats_of(pixels), 3 * pixels.size()}, largest_lxs) &&
        !std::ranges::all_of(pixels, is_light))
        refuse(layer);
}

void check_light(const ColourPlanes& planes, std::size_t count, const std::string& layer) {
    const auto is_plain = [&](const float* plane) {
        return all_within({plane, count}, largest_lxs);
    };
    if (std::ranges::all_of(planes.lxs, is_plain)) return;
    const auto [red, green, blue] = planes.lxs;
    for (std::size_t x = 0; x < count; ++x)
        if (!is_light({red[x], green[x], blue[x]})) refuse(layer);
}

}  // namespace lampflight
