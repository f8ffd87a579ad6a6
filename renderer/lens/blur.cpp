#include "renderer/lens/blur.h"

#include <tbb/enumerable_thread_specific.h>
#include <tbb/parallel_for.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

namespace lampflight {
namespace {

constexpr double reach_sigmas = 4.0;
constexpr int band_rows = 64;         // many for a blur's reach, few for the caches
constexpr int halved_band_rows = 32;  // twice as many are read, and should still be at hand

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
template <int rows = band_rows, class Work>
void for_bands(int height, Work work) {
    tbb::parallel_for(0, (height + rows - 1) / rows,
                      [&](int band) { work(band * rows, std::min((band + 1) * rows, height)); });
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
    const auto width = static_cast<std::size_t>(from.width);
    std::vector<glm::vec3> band(width * static_cast<std::size_t>(to_y - from_y));
    const auto band_row = [&](int y) {
        return Row(band).subspan(width * static_cast<std::size_t>(y - from_y), width);
    };
    std::vector<glm::vec3> wide(width + 2 * static_cast<std::size_t>(reach));
    for (int y = from_y; y < to_y; ++y) blur_row(from.row(y), taps, wide, band_row(y));

    const std::vector<glm::vec3> none(width);
    const auto row_or_none = [&](int y) {
        return y >= from_y && y < to_y ? ConstRow(band_row(y)) : ConstRow(none);
    };
    for (int y = first; y < end; ++y) {
        add_scaled(sum.row(y), row_or_none(y), factor * taps[0]);
        for (int i = 1; i <= reach; ++i)
            add_scaled_pair(sum.row(y), row_or_none(y - i), row_or_none(y + i),
                            factor * taps[static_cast<std::size_t>(i)]);
    }
}

/// Rows at half the width by (1 3 3 1) / 8.
class Halving {
public:
    explicit Halving(std::size_t width)
        : halves_((width + 1) / 2),
          lines_(width + 1),
          half_(halves_),
          even_(halves_ + 1),
          odd_(halves_ + 1) {}

    void halve(ConstRow from, Row to) {
        lines_.load(from, 0);
        for (std::size_t colour = 0; colour < 3; ++colour) {
            float* const line = lines_[colour];
            line[from.size()] = 0.0f;  // beyond an odd width's end
            float* const even = even_.data();
            float* const odd = odd_.data() + 1;
            for (std::size_t x = 0; x < halves_; ++x) {
                even[x] = line[2 * x];
                odd[x] = line[2 * x + 1];
            }
            odd_[0] = even[0];
            even[halves_] = odd[halves_ - 1];
            float* const half = half_[colour];
            for (std::size_t x = 0; x < halves_; ++x)
                half[x] = 0.125f * (odd_[x] + even[x + 1]) + 0.375f * (even[x] + odd[x]);
        }
        half_.store(to);
    }

private:
    std::size_t halves_;
    ColourLines lines_, half_;
    std::vector<float> even_, odd_;  ///< one more at the end, or before the beginning
};

/// Halves rows of pictures of one size; of four rows of a picture a new one takes the place of the
/// oldest.
class HalvedRows {
public:
    HalvedRows(int width, int height)
        : height_(height), mean_(static_cast<std::size_t>(width)), halving_(mean_.size()) {
        rows_.fill(std::vector<glm::vec3>(mean_.size()));
    }

    /// Fills the rows from `first` to `end` of the half picture.
    void halve(const ReadRow& from, int first, int end, Image& to) {
        int next = std::max(0, 2 * first - 1);
        const auto row_at = [&](int y) -> ConstRow {
            for (; next <= y; ++next) from(next, rows_[static_cast<std::size_t>(next % 4)]);
            return rows_[static_cast<std::size_t>(y % 4)];
        };
        for (int y = first; y < end; ++y) {
            std::ranges::fill(mean_, glm::vec3(0.0f));
            const auto add = [&](int row, float factor) {
                if (row < height_) add_scaled(mean_, row_at(row), factor);
            };
            add(std::max(0, 2 * y - 1), 0.125f);
            add(2 * y, 0.375f);
            add(2 * y + 1, 0.375f);
            add(y + 1 < to.height ? 2 * y + 2 : 2 * y + 1, 0.125f);
            halving_.halve(mean_, to.row(y));
        }
    }

private:
    int height_;
    std::array<std::vector<glm::vec3>, 4> rows_;
    std::vector<glm::vec3> mean_;
    Halving halving_;
};

}  // namespace

void add_blurred(const Image& from, double sigma_px, float factor, Image& sum) {
    const std::vector<float> taps = gaussian(sigma_px);
    for_bands(from.height,
              [&](int first, int end) { add_blurred_band(from, first, end, taps, factor, sum); });
}

Image halved(int width, int height, const ReadRow& from) {
    return std::move(halved(width, height, std::span(&from, 1)).front());
}

std::vector<Image> halved(int width, int height, std::span<const ReadRow> from) {
    const glm::ivec2 size = half_of({width, height});
    std::vector<Image> to;
    for (std::size_t i = 0; i < from.size(); ++i) to.emplace_back(size.x, size.y);
    tbb::enumerable_thread_specific<HalvedRows> workers(width, height);
    for_bands<halved_band_rows>(size.y, [&](int first, int end) {
        for (std::size_t i = 0; i < from.size(); ++i)
            workers.local().halve(from[i], first, end, to[i]);
    });
    return to;
}

Image halved(const Image& from) {
    return halved(from.width, from.height,
                  [&](int y, Row row) { std::ranges::copy(from.row(y), row.begin()); });
}

Doubling::Doubling(int width)
    : halves_((static_cast<std::size_t>(width) + 1) / 2),
      between_(halves_),
      lines_(halves_ + 2),
      doubled_(2 * halves_) {}

void Doubling::row(const Image& from, int top, int y, Row to) {
    const int near_y = y / 2 - top;
    const int far_y = std::clamp(near_y + (y % 2 == 0 ? -1 : 1), 0, from.height - 1);
    std::ranges::fill(between_, glm::vec3(0.0f));
    add_scaled(between_, from.row(near_y), 0.75f);
    add_scaled(between_, from.row(far_y), 0.25f);
    lines_.load(between_, 1);
    for (std::size_t colour = 0; colour < 3; ++colour) {
        float* const line = lines_[colour] + 1;
        float* const doubled = doubled_[colour];
        line[-1] = line[0];
        line[halves_] = line[halves_ - 1];
        for (std::size_t x = 0; x < halves_; ++x) {
            doubled[2 * x] = 0.25f * line[x - 1] + 0.75f * line[x];
            doubled[2 * x + 1] = 0.75f * line[x] + 0.25f * line[x + 1];
        }
    }
    doubled_.store(to);
}

void add_doubled(const Image& from, Image& sum) {
    for_bands(sum.height, [&](int first, int end) {
        std::vector<glm::vec3> row(static_cast<std::size_t>(sum.width));
        Doubling doubling(sum.width);
        for (int y = first; y < end; ++y) {
            doubling.row(from, 0, y, row);
            add_scaled(sum.row(y), row, 1.0f);
        }
    });
}

}  // namespace lampflight
