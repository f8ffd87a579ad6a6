#include "renderer/lens/defocus.h"

#include <tbb/parallel_for.h>
#include <tbb/parallel_reduce.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

#include "scene/camera/depth_of_field.h"

namespace lampflight {
namespace {

constexpr double sky_m = 1e9;
constexpr float sharp_px = 0.5f;

std::pair<float, float> range_of(const FilmBuffer<float>& values) {
    using Range = std::pair<float, float>;
    constexpr float beyond_all = std::numeric_limits<float>::infinity();
    return tbb::parallel_reduce(
        tbb::blocked_range<std::size_t>(0, values.size()), Range(beyond_all, -beyond_all),
        [&](const auto& part, Range range) {
            for (std::size_t i = part.begin(); i < part.end(); ++i)
                range = {std::min(range.first, values[i]), std::max(range.second, values[i])};
            return range;
        },
        [](const Range& a, const Range& b) {
            return Range(std::min(a.first, b.first), std::max(a.second, b.second));
        });
}

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
    const auto [farthest, nearest] = range_of(depth.nearness_per_m);
    const float widest_px =
        std::min(widest_disc_px, std::max(std::abs(at_sky_px + per_nearness_px * farthest),
                                          std::abs(at_sky_px + per_nearness_px * nearest)));
    if (widest_px <= sharp_px) return;

    FilmBuffer<float> blur_px(depth.nearness_per_m.size());
    FilmBuffer<float> gaps_px;
    const bool gaps = DepthAwareBlur::smoothing_px(widest_px) != 0.0f;
    if (gaps) gaps_px = FilmBuffer<float>(blur_px.size());
    tbb::parallel_for(std::size_t{0}, blur_px.size(), [&](std::size_t i) {
        const float all_px = std::clamp(at_sky_px + per_nearness_px * depth.nearness_per_m[i],
                                        -widest_disc_px, widest_disc_px);
        const float gap_px = DepthAwareBlur::smoothing_px(all_px);
        // Widths of blurs that follow each other add up in squares.
        blur_px[i] = std::copysign(std::sqrt(all_px * all_px - gap_px * gap_px), all_px);
        if (gaps) gaps_px[i] = gap_px;
    });
    wide_.emplace(depth.width, depth.height, std::move(blur_px));
    if (gaps) smoothing_.emplace(depth.width, depth.height, std::move(gaps_px));
}

Image Defocus::blurred(Image film) const {
    if (wide_) film = wide_->blurred(std::move(film));
    if (smoothing_) film = smoothing_->blurred(std::move(film));
    return film;
}

}  // namespace lampflight
