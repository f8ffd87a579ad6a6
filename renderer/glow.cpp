#include "renderer/glow.h"

#include <tbb/parallel_for.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace lampflight {
namespace {

struct Halo {
    double sigma;  ///< standard deviation as a share of the frame's height
    float share;   ///< of the light that is spread
};

constexpr std::array<Halo, 4> halos{
    {{0.0015, 0.50f}, {0.006, 0.25f}, {0.03, 0.15f}, {0.12, 0.10f}}};

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

/// How often the film is halved for a blur: as often as keeps it smooth.
int halvings_for(double sigma_px, const glm::ivec2& size) {
    constexpr int smallest_px = 8;
    int halvings = 0;
    while (sigma_at(halvings + 1, sigma_px) >= narrowest_sigma_px &&
           std::min(size.x, size.y) >> halvings > smallest_px)
        ++halvings;
    return halvings;
}

void add_doubled(const Image& from, Image& sum) {
    tbb::parallel_for(0, sum.height, [&](int y) {
        std::vector<glm::vec3> row(static_cast<std::size_t>(sum.width));
        doubled_row(from, y, row);
        add_scaled(sum.row(y), row, 1.0f);
    });
}

Image half_of(const Image& film) {
    return halved(film.width, film.height,
                  [&](int y, Row row) { std::ranges::copy(film.row(y), row.begin()); });
}

/// Sum of the halos' blurs, at its size, of a film of `size` that has been halved so many times.
Image sum_of_halos(const Image& film, int halvings, const glm::ivec2& size) {
    Image sum(film.width, film.height);
    bool coarser = false;
    for (const Halo& halo : halos) {
        const double sigma_px = halo.sigma * size.y;
        const int at = halvings_for(sigma_px, size);
        coarser |= at > halvings;
        if (at == halvings) add_blurred(film, sigma_at(at, sigma_px), halo.share, sum);
    }
    if (coarser) add_doubled(sum_of_halos(half_of(film), halvings + 1, size), sum);
    return sum;
}

Image read_all(int width, int height, const ReadRow& film) {
    Image all(width, height);
    tbb::parallel_for(0, height, [&](int y) { film(y, all.row(y)); });
    return all;
}

}  // namespace

Glow::Glow(int width, int height, const ReadRow& film) {
    const glm::ivec2 size(width, height);
    half_size_ = halvings_for(halos.front().sigma * height, size) > 0;
    spread_ = half_size_ ? sum_of_halos(halved(width, height, film), 1, size)
                         : sum_of_halos(read_all(width, height, film), 0, size);
}

void Glow::lay_on(int y, Row row) const {
    std::vector<glm::vec3> doubled(half_size_ ? row.size() : 0);
    if (half_size_) doubled_row(spread_, y, doubled);
    const ConstRow spread = half_size_ ? ConstRow(doubled) : spread_.row(y);
    constexpr float kept = 1.0f - glow_share;
    for (std::size_t x = 0; x < row.size(); ++x) row[x] = kept * row[x] + glow_share * spread[x];
}

}  // namespace lampflight
