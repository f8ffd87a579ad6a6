#include "renderer/glow.h"

#include <tbb/blocked_range.h>
#include <tbb/parallel_for.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace lampflight {
namespace {

struct Halo {
    double sigma;  ///< standard deviation as a share of the frame's height
    float share;  ///< of the light that is spread
};

constexpr std::array<Halo, 4> halos{
    {{0.0015, 0.50f}, {0.006, 0.25f}, {0.03, 0.15f}, {0.12, 0.10f}}};

// Wider blurs are done at half the size, over and over: a Gaussian of four pixels hides the steps.
constexpr double widest_sigma_px = 8.0;

std::vector<float> gaussian(double sigma_px) {
    const int reach = std::max(1, static_cast<int>(std::ceil(4.0 * sigma_px)));
    std::vector<float> taps(static_cast<std::size_t>(2 * reach) + 1);
    double sum = 0.0;
    // Each tap is the mass over its pixel, so that narrow blurs keep their width.
    const auto below = [&](double x) { return 0.5 * std::erfc(-x / (sigma_px * std::sqrt(2.0))); };
    for (int i = -reach; i <= reach; ++i) sum += below(i + 0.5) - below(i - 0.5);
    for (int i = -reach; i <= reach; ++i)
        taps[static_cast<std::size_t>(i + reach)] =
            static_cast<float>((below(i + 0.5) - below(i - 0.5)) / sum);
    return taps;
}

/// One direction of a separable blur; light beyond the edge is lost, none comes in.
Image blur_rows(const Image& from, const std::vector<float>& taps) {
    Image to(from.height, from.width);  // turned, so that a second pass does the columns
    const int reach = static_cast<int>(taps.size() / 2);
    tbb::parallel_for(tbb::blocked_range<int>(0, from.height, 16), [&](const auto& rows) {
        for (int y = rows.begin(); y != rows.end(); ++y)
            for (int x = 0; x < from.width; ++x) {
                const int first = std::max(-reach, -x);
                const int last = std::min(reach, from.width - 1 - x);
                glm::vec3 sum(0.0f);
                for (int i = first; i <= last; ++i)
                    sum += taps[static_cast<std::size_t>(i + reach)] * from.at(x + i, y);
                to.at(y, x) = sum;
            }
    });
    return to;
}

Image halved(const Image& from) {
    Image to((from.width + 1) / 2, (from.height + 1) / 2);
    for (int y = 0; y < from.height; ++y)
        for (int x = 0; x < from.width; ++x) to.at(x / 2, y / 2) += 0.25f * from.at(x, y);
    return to;
}

/// Linear interpolation between the centres of the small image's pixels.
Image doubled(const Image& from, int width, int height) {
    Image to(width, height);
    const auto pixel = [&](int x, int y) {
        return from.at(std::clamp(x, 0, from.width - 1), std::clamp(y, 0, from.height - 1));
    };
    tbb::parallel_for(tbb::blocked_range<int>(0, height, 16), [&](const auto& rows) {
        for (int y = rows.begin(); y != rows.end(); ++y) {
            const int near_y = y / 2, far_y = near_y + (y % 2 == 0 ? -1 : 1);
            for (int x = 0; x < width; ++x) {
                const int near_x = x / 2, far_x = near_x + (x % 2 == 0 ? -1 : 1);
                to.at(x, y) = 0.5625f * pixel(near_x, near_y) +
                              0.1875f * (pixel(far_x, near_y) + pixel(near_x, far_y)) +
                              0.0625f * pixel(far_x, far_y);
            }
        }
    });
    return to;
}

Image blurred(const Image& from, double sigma_px) {
    if (sigma_px > widest_sigma_px && std::min(from.width, from.height) > 8)
        return doubled(blurred(halved(from), 0.5 * sigma_px), from.width, from.height);
    const std::vector<float> taps = gaussian(sigma_px);
    return blur_rows(blur_rows(from, taps), taps);
}

}  // namespace

Image glow_of(const Image& film_lxs) {
    Image glow(film_lxs.width, film_lxs.height);
    for (const Halo& halo : halos) {
        const Image spread = blurred(film_lxs, halo.sigma * film_lxs.height);
        for (std::size_t i = 0; i < glow.pixels.size(); ++i)
            glow.pixels[i] += glow_share * halo.share * (spread.pixels[i] - film_lxs.pixels[i]);
    }
    return glow;
}

}  // namespace lampflight
