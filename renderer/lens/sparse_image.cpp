#include "renderer/lens/sparse_image.h"

#include <tbb/parallel_for.h>

#include <algorithm>

namespace lampflight {
namespace {

/// The pixel of half the size that gets 1/8 of one whose 3/8 are its own.
int other_half(int place, int halves) {
    return std::clamp(place / 2 + (place % 2 == 0 ? -1 : 1), 0, halves - 1);
}

/// What one row of half the size gets of the rows about it.
std::vector<SparsePixel> halved_row(const SparseImage& from, int y, const glm::ivec2& half) {
    std::vector<glm::vec3> sums;
    int first = half.x, end = 0;
    for (int row = std::max(0, 2 * y - 1); row < std::min(2 * y + 3, from.height()); ++row) {
        const float share =
            (row / 2 == y ? 0.375f : 0.0f) + (other_half(row, half.y) == y ? 0.125f : 0.0f);
        for (const auto& [x, light] : from.row(row)) {
            if (sums.empty()) sums.resize(static_cast<std::size_t>(half.x));
            const int other = other_half(x, half.x);
            sums[static_cast<std::size_t>(x / 2)] += 0.375f * share * light;
            sums[static_cast<std::size_t>(other)] += 0.125f * share * light;
            first = std::min({first, x / 2, other});
            end = std::max({end, x / 2 + 1, other + 1});
        }
    }
    std::vector<SparsePixel> lit;
    for (int x = first; x < end; ++x)
        if (const glm::vec3& light = sums[static_cast<std::size_t>(x)]; light != glm::vec3(0.0f))
            lit.push_back({x, light});
    return lit;
}

/// Where a pixel lies in a row that is mirrored at both edges as far as a kernel reaches.
template <class Work>
void for_images(int x, int width, int reach, Work work) {
    work(x);
    if (x >= reach && x < width - reach) return;
    for (int i = 1; i <= reach; ++i)
        for (const int image : {-i, width - 1 + i})
            if (mirrored(image, width) == x) work(image);
}

}  // namespace

void add_row(const SparseImage& picture, int y, Row sum) {
    for (const auto& [x, light] : picture.row(y)) sum[static_cast<std::size_t>(x)] += light;
}

SparseImage halved(const SparseImage& from) {
    const glm::ivec2 size = half_of({from.width, from.height()});
    SparseImage half(size);
    tbb::parallel_for(0, size.y, [&](int y) {
        half.rows[static_cast<std::size_t>(y)] = halved_row(from, y, size);
    });
    return half;
}

SparseConvolution::SparseConvolution(const SpreadKernel& kernel) : radius_(kernel.radius) {
    for (std::size_t i = 0; i < kernel.taps[0].size(); ++i)
        for (const auto& taps : kernel.taps) taps_.push_back(taps[i]);
}

void SparseConvolution::add_rows(const SparseImage& picture,
                                 const TapConvolution::Rows& rows) const {
    const int side = 2 * radius_ + 1;
    std::vector<glm::vec3> lights(static_cast<std::size_t>(side));
    const auto lay = [&](int x, int y) {
        const int first_x = std::max(0, x - radius_);
        const int end_x = std::min(picture.width, x + radius_ + 1);
        const float* const light = floats_of(ConstRow(lights));
        for (int to = std::max(rows.first, y - radius_); to < std::min(rows.end, y + radius_ + 1);
             ++to) {
            const float* const taps =
                taps_.data() + 3 * ((to - y + radius_) * side + first_x - x + radius_);
            float* const sum = floats_of(rows.sum.row(to - rows.top)) + 3 * first_x;
            for (int i = 0; i < 3 * (end_x - first_x); ++i) sum[i] += taps[i] * light[i];
        }
    };
    for (int y = rows.first - radius_; y < rows.end + radius_; ++y)
        for (const SparsePixel& pixel : picture.row(mirrored(y, rows.height))) {
            std::ranges::fill(lights, pixel.light);
            for_images(pixel.x, picture.width, radius_, [&](int x) { lay(x, y); });
        }
}

}  // namespace lampflight
