#include "renderer/blur.h"

#include <tbb/parallel_for.h>

#include <algorithm>
#include <cmath>

namespace lampflight {
namespace {

constexpr double reach_sigmas = 4.0;
constexpr int band_rows = 64;  // many for a blur's reach, few for the caches

/// Taps from the middle outwards: the kernel is even.
std::vector<float> gaussian(double sigma_px) {
    const int reach = std::max(1, static_cast<int>(std::ceil(reach_sigmas * sigma_px)));
    std::vector<double> mass;
    // Each tap is the mass over its pixel, so that narrow blurs keep their width.
    const auto below = [&](double x) { return 0.5 * std::erfc(-x / (sigma_px * std::sqrt(2.0))); };
    for (int i = 0; i <= reach; ++i) mass.push_back(below(i + 0.5) - below(i - 0.5));
    double sum = mass[0];
    for (int i = 1; i <= reach; ++i) sum += 2.0 * mass[static_cast<std::size_t>(i)];
    std::vector<float> taps;
    for (const double m : mass) taps.push_back(static_cast<float>(m / sum));
    return taps;
}

/// Calls `work(first, end)` for bands of rows, in parallel.
template <class Work>
void for_bands(int height, Work work) {
    tbb::parallel_for(0, (height + band_rows - 1) / band_rows, [&](int band) {
        work(band * band_rows, std::min((band + 1) * band_rows, height));
    });
}

/// Two rows at the same distance to either side.
void add_scaled_pair(Row sum, ConstRow one, ConstRow other, float factor) {
    float* to = floats_of(sum);
    const float* a = floats_of(one);
    const float* b = floats_of(other);
    for (std::size_t i = 0; i < 3 * sum.size(); ++i) to[i] += factor * (a[i] + b[i]);
}

/// One row; `wide` has room for the taps' reach to either side, dark there.
void blur_row(ConstRow from, const std::vector<float>& taps, Row wide, Row to) {
    const std::size_t reach = taps.size() - 1;
    std::ranges::copy(from, wide.begin() + static_cast<std::ptrdiff_t>(reach));
    const auto moved = [&](std::size_t by) { return ConstRow(wide).subspan(by, to.size()); };
    std::ranges::fill(to, glm::vec3(0.0f));
    add_scaled(to, moved(reach), taps[0]);
    for (std::size_t i = 1; i <= reach; ++i)
        add_scaled_pair(to, moved(reach - i), moved(reach + i), taps[i]);
}

/// The blur of rows from `first` to `end`: its own rows, and those around it within reach, are
/// blurred sideways into a small buffer and from there up and down.
void add_blurred_band(const Image& from, int first, int end, const std::vector<float>& taps,
                      float factor, Image& sum) {
    const int reach = static_cast<int>(taps.size()) - 1;
    const int from_y = std::max(0, first - reach);
    const int to_y = std::min(from.height, end + reach);
    Image band(from.width, to_y - from_y);
    std::vector<glm::vec3> wide(static_cast<std::size_t>(from.width + 2 * reach));
    for (int y = from_y; y < to_y; ++y) blur_row(from.row(y), taps, wide, band.row(y - from_y));

    const std::vector<glm::vec3> none(static_cast<std::size_t>(from.width));
    const auto row_or_none = [&](int y) {
        return y >= from_y && y < to_y ? ConstRow(band.row(y - from_y)) : ConstRow(none);
    };
    for (int y = first; y < end; ++y) {
        add_scaled(sum.row(y), row_or_none(y), factor * taps[0]);
        for (int i = 1; i <= reach; ++i)
            add_scaled_pair(sum.row(y), row_or_none(y - i), row_or_none(y + i),
                            factor * taps[static_cast<std::size_t>(i)]);
    }
}

/// One row at half the width by (1 3 3 1) / 8.
void halve_row(ConstRow from, Row to) {
    const auto pixel = [&](std::size_t x) { return x < from.size() ? from[x] : glm::vec3(0.0f); };
    const auto last = to.size() - 1;
    for (std::size_t x = 0; x <= last; ++x)
        to[x] =
            0.125f * (pixel(x == 0 ? 0 : 2 * x - 1) + pixel(x == last ? 2 * x + 1 : 2 * x + 2)) +
            0.375f * (pixel(2 * x) + pixel(2 * x + 1));
}

int half_of(int side) {
    return (side + 1) / 2;
}

}  // namespace

void add_blurred(const Image& from, double sigma_px, float factor, Image& sum) {
    const std::vector<float> taps = gaussian(sigma_px);
    for_bands(from.height,
              [&](int first, int end) { add_blurred_band(from, first, end, taps, factor, sum); });
}

Image halved(int width, int height, const ReadRow& from) {
    Image to(half_of(width), half_of(height));
    for_bands(to.height, [&](int first, int end) {
        std::vector<glm::vec3> row(static_cast<std::size_t>(width));
        std::vector<glm::vec3> half(static_cast<std::size_t>(to.width));
        const auto add_to = [&](int y, float factor) {
            if (y >= first && y < end) add_scaled(to.row(y), half, factor);
        };
        for (int y = std::max(0, 2 * first - 1); y < std::min(height, 2 * end + 1); ++y) {
            from(y, row);
            halve_row(row, half);
            add_to(y / 2, 0.375f);
            add_to(std::clamp(y % 2 == 0 ? y / 2 - 1 : y / 2 + 1, 0, to.height - 1), 0.125f);
        }
    });
    return to;
}

Image halved(const Image& from) {
    return halved(from.width, from.height,
                  [&](int y, Row row) { std::ranges::copy(from.row(y), row.begin()); });
}

void doubled_row(const Image& from, int y, Row row) {
    const int far_y = std::clamp(y / 2 + (y % 2 == 0 ? -1 : 1), 0, from.height - 1);
    const ConstRow near = from.row(y / 2);
    const ConstRow far = from.row(far_y);
    const auto between = [&](std::size_t x) { return 0.75f * near[x] + 0.25f * far[x]; };
    glm::vec3 left = between(0);
    glm::vec3 here = left;
    for (std::size_t x = 0; x < near.size(); ++x) {
        const glm::vec3 right = x + 1 < near.size() ? between(x + 1) : here;
        row[2 * x] = 0.25f * left + 0.75f * here;
        if (2 * x + 1 < row.size()) row[2 * x + 1] = 0.75f * here + 0.25f * right;
        left = here;
        here = right;
    }
}

void add_doubled(const Image& from, Image& sum) {
    for_bands(sum.height, [&](int first, int end) {
        std::vector<glm::vec3> row(static_cast<std::size_t>(sum.width));
        for (int y = first; y < end; ++y) {
            doubled_row(from, y, row);
            add_scaled(sum.row(y), row, 1.0f);
        }
    });
}

}  // namespace lampflight
