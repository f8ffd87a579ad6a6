#include "renderer/lens/glare.h"

#include <tbb/parallel_for.h>

#include <algorithm>
#include <cmath>

#include "renderer/lens/blur.h"

namespace lampflight {
namespace {

constexpr double narrowest_share = 0.001;  // of the frame's height
constexpr int doublings = 8;               // to a quarter of it

// A Gaussian this narrow is still smooth after it is doubled.
constexpr double narrowest_sigma_px = 1.7;

/// Deviation of the blur to run at a size halved so many times, in its pixels: what the steps down
/// and up add is taken off. Negative if that is too much.
double sigma_at(int halvings, double sigma_px) {
    double left_px2 = sigma_px * sigma_px;
    double pixel_px2 = 1.0;
    for (int i = 0; i < halvings; ++i, pixel_px2 *= 4.0)
        left_px2 -= 2.0 * halving_variance_px2 * pixel_px2;
    return left_px2 > 0.0 ? std::sqrt(left_px2 / pixel_px2) : -1.0;
}

/// As often as keeps the blur smooth.
int halvings_for(double sigma_px, const glm::ivec2& size) {
    constexpr int smallest_px = 2;
    int halvings = 0;
    while (sigma_at(halvings + 1, sigma_px) >= narrowest_sigma_px &&
           std::min(size.x, size.y) >> halvings > smallest_px)
        ++halvings;
    return halvings;
}

/// Adds a Gaussian to a kernel, each tap the mass over its pixel.
void add_gaussian(double sigma_px, float share, SpreadKernel& kernel) {
    const auto below = [&](double x) { return 0.5 * std::erfc(-x / (sigma_px * std::sqrt(2.0))); };
    std::vector<double> line;
    double sum = 0.0;
    for (int i = -kernel.radius; i <= kernel.radius; ++i) {
        line.push_back(below(i + 0.5) - below(i - 0.5));
        sum += line.back();
    }
    const double scale = static_cast<double>(share) / (sum * sum);
    for (auto& taps : kernel.taps)
        for (std::size_t i = 0; i < taps.size(); ++i)
            taps[i] += static_cast<float>(scale * line[i / line.size()] * line[i % line.size()]);
}

/// Adds the blurs of the halos that need so many halvings or more, given the film halved so often.
void add_halos(const Image& film, int halvings, const glm::ivec2& size,
               const std::vector<Halo>& halos, Image& sum) {
    bool coarser = false;
    for (const Halo& halo : halos) {
        const int at = halvings_for(halo.sigma_px, size);
        coarser |= at > halvings;
        if (at == halvings) add_blurred(film, sigma_at(at, halo.sigma_px), halo.share, sum);
    }
    if (!coarser) return;
    const Image half = halved(film);
    Image half_sum(half.width, half.height);
    add_halos(half, halvings + 1, size, halos, half_sum);
    add_doubled(half_sum, sum);
}

}  // namespace

std::vector<Halo> glare_halos(double share, double falloff, int frame_height_px) {
    // A Gaussian of deviation s and share w is w / s^2 high at its middle: w grows as s to the
    // power of 2 - falloff.
    std::vector<double> weights;
    double sum = 0.0;
    for (int i = 0; i <= doublings; ++i) {
        weights.push_back(std::exp2((2.0 - falloff) * i));
        sum += weights.back();
    }
    std::vector<Halo> halos;
    for (int i = 0; i <= doublings; ++i)
        halos.push_back({narrowest_share * frame_height_px * std::exp2(i),
                         static_cast<float>(share * weights[static_cast<std::size_t>(i)] / sum)});
    return halos;
}

void add_narrow_halos(const std::vector<Halo>& halos, const glm::ivec2& size, SpreadKernel& whole,
                      SpreadKernel& half) {
    for (const Halo& halo : halos) {
        const int at = halvings_for(halo.sigma_px, size);
        if (at < 2) add_gaussian(sigma_at(at, halo.sigma_px), halo.share, at == 0 ? whole : half);
    }
}

void add_wide_halos(const std::vector<Halo>& halos, const glm::ivec2& size, const Image& quarter,
                    Image& sum) {
    add_halos(quarter, 2, size, halos, sum);
}

}  // namespace lampflight
