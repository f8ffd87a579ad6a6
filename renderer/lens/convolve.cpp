#include "renderer/lens/convolve.h"

#include <algorithm>
#include <cstdlib>

namespace lampflight {
namespace {

// Four rows of sums fill half of the registers, or all but those that the sums are made from.
constexpr int rows_at_once = 4;
#ifdef __AVX512F__
constexpr std::size_t lanes = 16;
constexpr std::size_t vectors = 4;
#else
constexpr std::size_t lanes = 8;
constexpr std::size_t vectors = 2;
#endif
constexpr std::size_t strip = lanes * vectors;

/// Numbers that a compiler keeps in one register where there are such, from anywhere.
using Floats =
    float __attribute__((vector_size(lanes * sizeof(float)), aligned(sizeof(float)), may_alias));

/// Sums of four rows.
using Block = std::array<std::array<float, strip>, rows_at_once>;

/// The rows of a picture that a kernel reaches at once, by colours, with room for its reach to
/// either side; a row takes the place of one that is done with.
class Window {
public:
    Window(int width, int reach, std::vector<float>& room)
        : reach_(reach),
          rows_(2 * reach + rows_at_once),
          width_(static_cast<std::size_t>(width)),
          stride_((width_ + strip - 1) / strip * strip + 2 * static_cast<std::size_t>(reach)),
          values_(room) {
        values_.resize(3 * stride_ * static_cast<std::size_t>(rows_));
    }

    void load(int y, ConstRow row) {
        const std::array<float*, 3> to{at(0, y), at(1, y), at(2, y)};
        const float* const from = floats_of(row);
        for (std::size_t x = 0; x < width_; ++x) {
            to[0][x] = from[3 * x];
            to[1][x] = from[3 * x + 1];
            to[2][x] = from[3 * x + 2];
        }
        const int width = static_cast<int>(width_);
        for (float* const line : to)
            for (int x = 1; x <= reach_; ++x) {
                line[-x] = line[mirrored(-x, width)];
                line[width - 1 + x] = line[mirrored(width - 1 + x, width)];
            }
    }

    /// Where a row's first pixel is.
    float* at(std::size_t colour, int y) {
        const auto place = static_cast<std::size_t>((y + rows_ * reach_) % rows_);
        return values_.data() + (place * 3 + colour) * stride_ + static_cast<std::size_t>(reach_);
    }

private:
    int reach_;
    int rows_;
    std::size_t width_;
    std::size_t stride_;
    std::vector<float>& values_;
};

/// Keeps a compiler from reading memory again at each use: reading, not adding, is what takes the
/// time.
inline void hold_in_register([[maybe_unused]] Floats& values) {
#if defined(__AVX__) && !defined(__clang__)
    __asm__("" : "+v"(values));
#endif
}

/// Adds one row's taps for four rows of sums.
void add_taps(const float* from, const std::vector<float>& weights,
              Floats (&sums)[rows_at_once][vectors]) {
    const float* weight = weights.data();
    const float* const end = weight + weights.size();
    for (; weight != end; weight += rows_at_once, ++from) {
        const auto* const moved = reinterpret_cast<const Floats*>(from);
        for (std::size_t i = 0; i < vectors; ++i) {
            Floats values = moved[i];
            hold_in_register(values);
            for (std::size_t row = 0; row < rows_at_once; ++row)
                sums[row][i] += weight[row] * values;
        }
    }
}

void add_block_row(const std::array<Block, 3>& blocks, int row, Row to) {
    const auto line = static_cast<std::size_t>(row);
    const std::size_t count = std::min(strip, to.size());
    float* const sum = floats_of(to);
    for (std::size_t x = 0; x < count; ++x) {
        sum[3 * x] += blocks[0][line][x];
        sum[3 * x + 1] += blocks[1][line][x];
        sum[3 * x + 2] += blocks[2][line][x];
    }
}

}  // namespace

int mirrored(int place, int count) {
    const int turn = ((place % (2 * count)) + 2 * count) % (2 * count);
    return turn < count ? turn : 2 * count - 1 - turn;
}

TapConvolution::TapConvolution(const SpreadKernel& kernel) : radius_(kernel.radius) {
    // Row `y` of the picture, seen from the first of four rows, has the weight at y - 1 for the
    // second, and so on.
    const auto weight = [&](std::size_t colour, int x, int y) {
        return std::abs(y) <= radius_ ? kernel.at(colour, x, y) : 0.0f;
    };
    for (std::size_t colour = 0; colour < 3; ++colour)
        for (int y = -radius_; y < radius_ + rows_at_once; ++y) {
            const auto is_empty = [&](int x) {
                for (int row = 0; row < rows_at_once; ++row)
                    if (weight(colour, x, y - row) != 0.0f) return false;
                return true;
            };
            int first = -radius_, end = radius_ + 1;
            while (first < end && is_empty(first)) ++first;
            while (end > first && is_empty(end - 1)) --end;
            if (first == end) continue;
            TapRow taps{y, first, {}};
            for (int x = first; x < end; ++x)
                for (int row = 0; row < rows_at_once; ++row)
                    taps.weights.push_back(weight(colour, x, y - row));
            rows_[colour].push_back(std::move(taps));
        }
}

void TapConvolution::add_rows(const ReadRow& picture, const Rows& rows,
                              std::vector<float>& room) const {
    Window window(rows.sum.width, radius_, room);
    std::vector<glm::vec3> row(static_cast<std::size_t>(rows.sum.width));
    std::array<Block, 3> blocks;
    const auto sum_up = [&](std::size_t colour, int y, std::size_t x) {
        Floats sums[rows_at_once][vectors] = {};
        for (const TapRow& taps : rows_[colour])
            add_taps(window.at(colour, y + taps.y) + x + taps.first_x, taps.weights, sums);
        for (std::size_t i = 0; i < rows_at_once; ++i)
            for (std::size_t k = 0; k < vectors; ++k)
                reinterpret_cast<Floats*>(blocks[colour][i].data())[k] = sums[i][k];
    };
    int loaded = rows.first - radius_;
    for (int y = rows.first; y < rows.end; y += rows_at_once) {
        for (; loaded < y + rows_at_once + radius_; ++loaded) {
            picture(mirrored(loaded, rows.height), row);
            window.load(loaded, row);
        }
        for (std::size_t x = 0; x < row.size(); x += strip) {
            for (std::size_t colour = 0; colour < 3; ++colour) sum_up(colour, y, x);
            for (int i = 0; i < rows_at_once && y + i < rows.end; ++i)
                add_block_row(blocks, i, rows.sum.row(y + i - rows.top).subspan(x));
        }
    }
}

}  // namespace lampflight
