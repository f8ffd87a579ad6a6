#include "renderer/lens/depth_aware_blur.h"

#include <tbb/enumerable_thread_specific.h>
#include <tbb/parallel_for.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "renderer/sampling/tile.h"
#include "scene/basics/angle.h"

namespace lampflight {
namespace {

constexpr float sharp_px = 0.5f;

// A disc of more pixels than this is drawn by so many of them.
constexpr float most_pixels = 200.0f;

// Surfaces slope: within a disc their own blur differs by less than this share of it.
constexpr float slope_share = 0.15f;
constexpr float slope_px = 0.25f;

constexpr int balancing_rounds = 2;

constexpr float circle = static_cast<float>(pi);

using Shares = std::array<float, tile_side_px>;

int tiles_in(int length) {
    return (length + tile_side_px - 1) / tile_side_px;
}

/// Shares between pixels and partners at one offset: across edges in depth, and along surfaces
/// before these are balanced.
void share_out(const float* here_px, const float* there_px, int count, float length, float rank,
               Shares& across, Shares& along) {
    for (int i = 0; i < count; ++i) {
        const float radius = std::abs(std::min(here_px[i], there_px[i]));
        const float area = circle * (radius * radius + 1.0f / 12.0f);  // of a disc soft over 1 px
        const float drawn = std::min(1.0f, most_pixels / area);
        const float cover = std::clamp(radius + 0.5f - length, 0.0f, 1.0f) / (area * drawn);
        const float share = rank <= drawn ? cover : 0.0f;
        const float same = slope_share * radius + slope_px;
        const float apart = std::abs(here_px[i] - there_px[i]) / same - 1.0f;
        const auto lane = static_cast<std::size_t>(i);
        across[lane] = share * std::clamp(apart, 0.0f, 1.0f);
        along[lane] = share - across[lane];
    }
}

}  // namespace

float DepthAwareBlur::smoothing_px(float blur_px) {
    const float radius = std::abs(blur_px);
    const float drawn_apart = radius * std::sqrt(circle / most_pixels);
    return drawn_apart <= 1.0f ? 0.0f : std::copysign(1.1f * drawn_apart - 0.6f, blur_px);
}

DepthAwareBlur::DepthAwareBlur(int width, int height, FilmBuffer<float> blur_px)
    : width_(width), height_(height), blur_px_(std::move(blur_px)) {
    set_reach();
    balance();
}

/// Tiles know which discs from before reach into them; the strips' own discs are looked up there.
void DepthAwareBlur::set_reach() {
    const int across = tiles_in(width_), down = tiles_in(height_);
    std::vector<float> before_px(static_cast<std::size_t>(across) * static_cast<std::size_t>(down));
    const auto tile = [&](int x, int y) { return static_cast<std::size_t>(y * across + x); };
    float longest_px = 0.0f;
    for (int y = 0; y < height_; ++y)
        for (int x = 0; x < width_; ++x) {
            const float blur_px = blur_px_[place(x, y)];
            float& most = before_px[tile(x / tile_side_px, y / tile_side_px)];
            most = std::max(most, -blur_px);
            longest_px = std::max(longest_px, std::abs(blur_px));
        }
    set_offsets(longest_px);
    reach_of_tile_px_.assign(before_px.size(), 0.0f);
    const int around = static_cast<int>(longest_px) / tile_side_px + 1;
    for (int y = 0; y < down; ++y)
        for (int x = 0; x < across; ++x)
            for (int ny = std::max(0, y - around); ny <= std::min(down - 1, y + around); ++ny)
                for (int nx = std::max(0, x - around); nx <= std::min(across - 1, x + around);
                     ++nx) {
                    const int tiles = std::max(std::abs(nx - x), std::abs(ny - y));
                    const auto gap_px = static_cast<float>(std::max(0, tiles - 1) * tile_side_px);
                    const float reach_px = before_px[tile(nx, ny)];
                    float& most = reach_of_tile_px_[tile(x, y)];
                    if (reach_px + 0.5f > gap_px) most = std::max(most, reach_px);
                }
}

void DepthAwareBlur::set_offsets(float longest_px) {
    const int side = static_cast<int>(longest_px + 0.5f);
    for (int y = -side; y <= side; ++y)
        for (int x = -side; x <= side; ++x) {
            const float length = std::hypot(static_cast<float>(x), static_cast<float>(y));
            if (length >= longest_px + 0.5f) continue;
            // Even over the plane, alike for an offset and its opposite (additive recurrence by the
            // plastic number).
            const double turns = 0.7548776662466927 * x + 0.5698402909980532 * y;
            const double rank =
                x == 0 && y == 0 ? 0.0 : std::abs(2.0 * (turns - std::floor(turns)) - 1.0);
            const float nearest = std::max(0.0f, length - 0.5f);
            if (rank * static_cast<double>(circle * nearest * nearest) >
                1.05 * static_cast<double>(most_pixels))
                continue;
            offsets_.push_back({x, y, length, static_cast<float>(rank)});
        }
    std::ranges::stable_sort(offsets_, {}, &Offset::length);
}

/// Calls `work(strip)` for each row of each tile, in parallel.
template <class Work>
void DepthAwareBlur::for_strips(Work work) const {
    const int across = tiles_in(width_);
    tbb::parallel_for(0, across * tiles_in(height_), [&](int tile) {
        const int first_x = tile % across * tile_side_px;
        const int first_y = tile / across * tile_side_px;
        const int count = std::min(tile_side_px, width_ - first_x);
        for (int y = first_y; y < std::min(height_, first_y + tile_side_px); ++y) {
            float reach_px = reach_of_tile_px_[static_cast<std::size_t>(tile)];
            for (int x = first_x; x < first_x + count; ++x)
                reach_px = std::max(reach_px, std::abs(blur_px_[place(x, y)]));
            work(Strip{first_x, count, y, reach_px});
        }
    });
}

/// Calls `visit(here, there, count, across, along)` with the places of the first pixel and partner.
template <class Visit>
void DepthAwareBlur::for_pairs(const Strip& strip, Visit visit) const {
    Shares across{}, along{};
    for (const Offset& offset : offsets_) {
        if (offset.length >= strip.reach_px + 0.5f) return;
        const int y = strip.y + offset.y;
        const int first = std::max(strip.first_x, -offset.x);
        const int end = std::min(strip.first_x + strip.count, width_ - offset.x);
        if (y < 0 || y >= height_ || first >= end) continue;
        const std::size_t here = place(first, strip.y), there = place(first + offset.x, y);
        share_out(&blur_px_[here], &blur_px_[there], end - first, offset.length, offset.rank,
                  across, along);
        visit(here, there, static_cast<std::size_t>(end - first), across, along);
    }
}

/// Weights that give every pixel one whole along its surface and across edges together: rounds of
/// symmetric scaling, R. Sinkhorn, "A relationship between arbitrary positive matrices and doubly
/// stochastic matrices" (1964).
void DepthAwareBlur::balance() {
    weight_ = FilmBuffer<float>(blur_px_.size(), 1.0f);
    for (int round = 0; round <= balancing_rounds; ++round) {
        FilmBuffer<float> next;
        if (round < balancing_rounds)
            next = weight_;
        else
            bound_ = FilmBuffer<float>(blur_px_.size(), 1.0f);
        for_strips([&](const Strip& strip) {
            if (strip.reach_px <= sharp_px) return;
            const std::size_t first = place(strip.first_x, strip.y);
            Shares across_sum{}, along_sum{};
            for_pairs(strip, [&](std::size_t here, std::size_t there, std::size_t count,
                                 const Shares& across, const Shares& along) {
                for (std::size_t i = 0; i < count; ++i) {
                    across_sum[here - first + i] += across[i];
                    along_sum[here - first + i] += along[i] * weight_[there + i];
                }
            });
            for (std::size_t i = 0; i < static_cast<std::size_t>(strip.count); ++i) {
                const float weight = weight_[first + i];
                const float left = std::max(0.0f, 1.0f - across_sum[i]);
                if (round < balancing_rounds)
                    next[first + i] =
                        along_sum[i] > 0.0f ? std::sqrt(weight * left / along_sum[i]) : 1.0f;
                else
                    bound_[first + i] =
                        1.0f / std::max(1.0f, across_sum[i] + weight * along_sum[i]);
            }
        });
        if (round < balancing_rounds) weight_ = std::move(next);
    }
}

Image DepthAwareBlur::blurred(Image film) const {
    // Most of a frame is sharp: only what is not is held apart until all has been read.
    struct Drawn {
        std::size_t first;
        std::size_t count;
        std::array<float, 3 * tile_side_px> light;
    };
    tbb::enumerable_thread_specific<std::vector<Drawn>> drawn;
    for_strips([&](const Strip& strip) {
        if (strip.reach_px <= sharp_px) return;
        const std::size_t first = place(strip.first_x, strip.y);
        const auto count = static_cast<std::size_t>(strip.count);
        const float* const from = floats_of(ConstRow(film.pixels));
        Shares given{};
        std::array<float, 3 * tile_side_px> taken{};
        for_pairs(strip, [&](std::size_t here, std::size_t there, std::size_t pairs,
                             const Shares& across, const Shares& along) {
            std::array<float, 3 * tile_side_px> share;
            for (std::size_t i = 0; i < pairs; ++i) {
                const float both = across[i] + along[i] * weight_[here + i] * weight_[there + i];
                const float one = both * std::min(bound_[here + i], bound_[there + i]);
                given[here - first + i] += one;
                share[3 * i] = share[3 * i + 1] = share[3 * i + 2] = one;
            }
            for (std::size_t i = 0; i < 3 * pairs; ++i)
                taken[3 * (here - first) + i] += share[i] * from[3 * there + i];
        });
        Drawn& strip_drawn = drawn.local().emplace_back(Drawn{first, count, {}});
        for (std::size_t i = 0; i < 3 * count; ++i)
            strip_drawn.light[i] =
                from[3 * first + i] * std::max(0.0f, 1.0f - given[i / 3]) + taken[i];
    });
    drawn.combine_each([&](const std::vector<Drawn>& strips) {
        for (const Drawn& strip : strips)
            std::copy_n(strip.light.begin(), 3 * strip.count,
                        floats_of(Row(film.pixels)) + 3 * strip.first);
    });
    return film;
}

}  // namespace lampflight
