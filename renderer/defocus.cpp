#include "renderer/defocus.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "scene/blur_circle.h"

namespace lampflight {
namespace {

constexpr double sky_m = 1e9;
constexpr float sharp_px = 0.5f;

}  // namespace

Defocus::Defocus(const Camera& camera, double f_number, const DepthMap& depth) {
    const double radius_px_mm = 0.5 / pixel_pitch_mm(camera).x;
    const auto widest_disc_px =
        0.25f * static_cast<float>(std::min(depth.width, depth.height));  // nothing is left in it
    const auto radius_px = [&](double depth_m) {
        return static_cast<float>(radius_px_mm * blur_circle_mm(camera, f_number, depth_m));
    };
    // The circle is linear in one over the depth.
    const float at_sky_px = radius_px(sky_m);
    const float per_nearness_px = radius_px(1.0) - at_sky_px;
    const auto [farthest, nearest] = std::ranges::minmax(depth.nearness_per_m);
    const float widest_px =
        std::min(widest_disc_px, std::max(std::abs(at_sky_px + per_nearness_px * farthest),
                                          std::abs(at_sky_px + per_nearness_px * nearest)));
    if (widest_px <= sharp_px) return;

    std::vector<float> blur_px(depth.nearness_per_m.size());
    std::vector<float> gaps_px;
    const bool gaps = LightExchange::smoothing_px(widest_px) != 0.0f;
    if (gaps) gaps_px.resize(blur_px.size());
    for (std::size_t i = 0; i < blur_px.size(); ++i) {
        const float all_px = std::clamp(at_sky_px + per_nearness_px * depth.nearness_per_m[i],
                                        -widest_disc_px, widest_disc_px);
        const float gap_px = LightExchange::smoothing_px(all_px);
        // Widths of blurs that follow each other add up in squares.
        blur_px[i] = std::copysign(std::sqrt(all_px * all_px - gap_px * gap_px), all_px);
        if (gaps) gaps_px[i] = gap_px;
    }
    wide_.emplace(depth.width, depth.height, std::move(blur_px));
    if (gaps) smoothing_.emplace(depth.width, depth.height, std::move(gaps_px));
}

Image Defocus::blurred(const Image& film) const {
    if (!wide_) return film;
    Image drawn = wide_->blurred(film);
    return smoothing_ ? smoothing_->blurred(drawn) : drawn;
}

}  // namespace lampflight
