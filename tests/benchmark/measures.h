// How far a method's film lies from the truth. Films are luminances, tile after tile of 32 x 32
// pixels in rows; 0 where nothing is lit.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <functional>
#include <span>
#include <vector>

#include "renderer/sampling/tile.h"

namespace lampflight::bench {

// Darker pixels than this share of the mean are not judged.
constexpr double least_share = 0.02;

/// All in shares of the mean luminance of the pixels judged.
struct Errors {
    double rms = 0.0;
    double worst = 0.0;       ///< mean error of the worst hundredth of the pixels
    double tile_means = 0.0;  ///< rms error of the means over 8 x 8 pixels
    double bias = 0.0;        ///< mean error with its sign
};

/// Mean of what is above zero.
inline double mean_lit(std::span<const float> film) {
    double sum = 0.0;
    std::size_t count = 0;
    for (const float value : film) {
        if (value <= 0.0f) continue;
        sum += static_cast<double>(value);
        ++count;
    }
    return count > 0 ? sum / static_cast<double>(count) : 0.0;
}

/// Means over squares of 8 x 8 pixels, tile after tile, rows from the top.
inline std::vector<float> square_means(std::span<const float> film) {
    constexpr int side = 8;
    std::vector<float> means;
    for (std::size_t tile = 0; tile + tile_pixels <= film.size(); tile += tile_pixels)
        for (int y = 0; y < tile_side_px; y += side)
            for (int x = 0; x < tile_side_px; x += side) {
                double sum = 0.0;
                for (int i = 0; i < side * side; ++i)
                    sum += static_cast<double>(film[tile + tile_index(x + i % side, y + i / side)]);
                means.push_back(static_cast<float>(sum / (side * side)));
            }
    return means;
}

/// Root of the mean square error over the entries above `least`, in shares of their mean.
inline double relative_rms(std::span<const float> truth, std::span<const float> found,
                           double least) {
    double squares = 0.0, sum = 0.0, count = 0.0;
    for (std::size_t i = 0; i < truth.size(); ++i) {
        const auto right = static_cast<double>(truth[i]);
        if (right <= least) continue;
        const double error = static_cast<double>(found[i]) - right;
        squares += error * error;
        sum += right;
        count += 1.0;
    }
    return sum > 0.0 ? std::sqrt(squares / count) / (sum / count) : 0.0;
}

inline Errors errors_of(std::span<const float> truth, std::span<const float> found) {
    const double least = least_share * mean_lit(truth);
    std::vector<double> off;
    double sum = 0.0, signed_sum = 0.0;
    for (std::size_t i = 0; i < truth.size(); ++i) {
        const auto right = static_cast<double>(truth[i]);
        if (right <= least) continue;
        const double error = static_cast<double>(found[i]) - right;
        off.push_back(std::abs(error));
        sum += right;
        signed_sum += error;
    }
    if (off.empty()) return {};
    const auto worst = static_cast<std::ptrdiff_t>((off.size() + 99) / 100);
    std::ranges::nth_element(off, off.begin() + worst - 1, std::greater<>());
    double worst_sum = 0.0;
    for (std::ptrdiff_t i = 0; i < worst; ++i) worst_sum += off[static_cast<std::size_t>(i)];
    const double mean = sum / static_cast<double>(off.size());
    return {.rms = relative_rms(truth, found, least),
            .worst = worst_sum / static_cast<double>(worst) / mean,
            .tile_means = relative_rms(square_means(truth), square_means(found), least),
            .bias = signed_sum / sum};
}

/// Share of a shadow that a film keeps: light missing from `bare`, the same view without what
/// throws the shadow, over what is missing in truth. Only pixels count that lose more than 1 % to
/// the shadow and are not too dark to judge. 1 is right; less: the shadow is thinner than it should
/// be. 1 as well where there is no shadow.
inline double shadow_kept(std::span<const float> bare, std::span<const float> truth,
                          std::span<const float> found) {
    constexpr double least_loss = 0.01;
    const double least = least_share * mean_lit(bare);
    double missing = 0.0, right = 0.0;
    for (std::size_t i = 0; i < bare.size(); ++i) {
        const auto free = static_cast<double>(bare[i]);
        const double shadow = free - static_cast<double>(truth[i]);
        if (free <= least || shadow <= least_loss * free) continue;
        missing += free - static_cast<double>(found[i]);
        right += shadow;
    }
    return right > 0.0 ? missing / right : 1.0;
}

/// What a method at one setting takes and how far it is off.
struct Step {
    double cost;
    double error;
};

/// How a cost at an error was come by.
enum class Known {
    not_at_all,
    between_steps,
    at_most,   ///< the cheapest step is already better
    drawn_on,  ///< no step is good enough; the last two are drawn on, to at most 8 times the last
};

struct CostAtError {
    double cost = 0.0;
    Known known = Known::not_at_all;
};

/// Cost at a given error, by a straight line through the logarithms of the first step that is good
/// enough and the one before it. Steps come in rising cost.
inline CostAtError cost_at_error(std::span<const Step> steps, double error) {
    std::size_t after = 0;
    while (after < steps.size() && steps[after].error > error) ++after;
    if (steps.empty()) return {};
    if (after == 0)
        return steps[0].cost > 0.0 ? CostAtError{steps[0].cost, Known::at_most} : CostAtError{};
    if (steps.size() < 2) return {};
    const std::size_t b = std::min(after, steps.size() - 1);
    const double rise = std::log(steps[b].cost / steps[b - 1].cost);
    const double fall = std::log(steps[b].error / steps[b - 1].error);
    if (!(fall < 0.0) || !std::isfinite(rise)) return {};
    const double cost =
        steps[b - 1].cost * std::exp(rise * std::log(error / steps[b - 1].error) / fall);
    if (after < steps.size()) return {cost, Known::between_steps};
    // Where more work no longer helps there is nothing to draw on.
    constexpr double farthest = 8.0;
    if (!(cost >= steps[b].cost) || cost > farthest * steps[b].cost) return {};
    return {cost, Known::drawn_on};
}

}  // namespace lampflight::bench
