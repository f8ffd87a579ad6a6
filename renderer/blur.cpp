#include "renderer/blur.h"

#include <tbb/blocked_range.h>
#include <tbb/parallel_for.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace lampflight {
namespace {

constexpr double reach_sigmas = 4.0;
constexpr int rows_at_a_time = 16;

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

/// Two rows at the same distance to either side.
void add_scaled_pair(Row sum, ConstRow one, ConstRow other, float factor) {
    float* to = floats_of(sum);
    const float* a = floats_of(one);
    const float* b = floats_of(other);
    for (std::size_t i = 0; i < 3 * sum.size(); ++i) to[i] += factor * (a[i] + b[i]);
}

template <class Work>
void for_rows(int height, Work work) {
    tbb::parallel_for(tbb::blocked_range<int>(0, height, rows_at_a_time), work);
}

Image blurred_along_rows(const Image& from, const std::vector<float>& taps) {
    Image to(from.width, from.height);
    const std::size_t reach = taps.size() - 1;
    for_rows(from.height, [&](const auto& rows) {
        std::vector<glm::vec3> wide(static_cast<std::size_t>(from.width) + 2 * reach);
        for (int y = rows.begin(); y != rows.end(); ++y) {
            std::ranges::copy(from.row(y), wide.begin() + static_cast<std::ptrdiff_t>(reach));
            const ConstRow around(wide);
            const Row row = to.row(y);
            add_scaled(row, around.subspan(reach, row.size()), taps[0]);
            for (std::size_t i = 1; i <= reach; ++i)
                add_scaled_pair(row, around.subspan(reach - i, row.size()),
                                around.subspan(reach + i, row.size()), taps[i]);
        }
    });
    return to;
}

Image blurred_along_columns(const Image& from, const std::vector<float>& taps) {
    Image to(from.width, from.height);
    const int reach = static_cast<int>(taps.size()) - 1;
    const std::vector<glm::vec3> none(static_cast<std::size_t>(from.width));
    const auto row_or_none = [&](int y) {
        return y >= 0 && y < from.height ? from.row(y) : ConstRow(none);
    };
    for_rows(from.height, [&](const auto& rows) {
        for (int y = rows.begin(); y != rows.end(); ++y) {
            add_scaled(to.row(y), from.row(y), taps[0]);
            for (int i = 1; i <= reach; ++i)
                add_scaled_pair(to.row(y), row_or_none(y - i), row_or_none(y + i),
                                taps[static_cast<std::size_t>(i)]);
        }
    });
    return to;
}

/// One row at half the width by (1 3 3 1) / 8.
void smoothly_halve_row(ConstRow from, Row to) {
    const auto pixel = [&](std::size_t x) { return x < from.size() ? from[x] : glm::vec3(0.0f); };
    for (std::size_t x = 0; x < to.size(); ++x)
        to[x] = 0.125f * (pixel(2 * x - 1) + pixel(2 * x + 2)) +  // before the first wraps: none
                0.375f * (pixel(2 * x) + pixel(2 * x + 1));
}

int half_of(int side) {
    return (side + 1) / 2;
}

}  // namespace

Image blurred(const Image& from, double sigma_px) {
    const std::vector<float> taps = gaussian(sigma_px);
    return blurred_along_columns(blurred_along_rows(from, taps), taps);
}

Image halved(int width, int height, const ReadRow& from) {
    Image to(half_of(width), half_of(height));
    for_rows(to.height, [&](const auto& rows) {
        // An odd last pixel has nothing beside it.
        std::vector<glm::vec3> pair(2 * static_cast<std::size_t>(to.width));
        const Row row = Row(pair).first(static_cast<std::size_t>(width));
        for (int y = 2 * rows.begin(); y < std::min(2 * rows.end(), height); ++y) {
            from(y, row);
            const Row half = to.row(y / 2);
            for (std::size_t x = 0; x < half.size(); ++x)
                half[x] += 0.25f * (pair[2 * x] + pair[2 * x + 1]);
        }
    });
    return to;
}

Image smoothly_halved(const Image& from) {
    Image narrow(half_of(from.width), from.height);
    for_rows(from.height, [&](const auto& rows) {
        for (int y = rows.begin(); y != rows.end(); ++y)
            smoothly_halve_row(from.row(y), narrow.row(y));
    });
    Image to(narrow.width, half_of(from.height));
    constexpr std::array<float, 4> taps{0.125f, 0.375f, 0.375f, 0.125f};
    for_rows(to.height, [&](const auto& rows) {
        for (int y = rows.begin(); y != rows.end(); ++y)
            for (int i = 0; i < 4; ++i)
                if (const int from_y = 2 * y - 1 + i; from_y >= 0 && from_y < from.height)
                    add_scaled(to.row(y), narrow.row(from_y), taps[static_cast<std::size_t>(i)]);
    });
    return to;
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

}  // namespace lampflight
