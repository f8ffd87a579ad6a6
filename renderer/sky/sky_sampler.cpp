#include "renderer/sky/sky_sampler.h"

#include <algorithm>
#include <cmath>
#include <span>
#include <utility>

#include "scene/basics/angle.h"
#include "scene/basics/vector.h"

namespace lampflight {
namespace {

// Rows stand even in the square root of the direction's height: close together at the horizon.
constexpr int rows = 64;
constexpr int columns = 128;
constexpr auto turn = static_cast<float>(2.0 * pi);

float height_of(float row_at) {
    return (row_at / rows) * (row_at / rows);
}

glm::vec3 towards(float height, float bearing_rad) {
    const float level = std::sqrt(std::max(0.0f, 1.0f - height * height));
    return {level * std::sin(bearing_rad), level * std::cos(bearing_rad), height};
}

/// Running sums as shares of the whole; even ones where there is nothing.
void make_shares(std::span<float> values) {
    float sum = 0.0f;
    for (float& value : values) value = sum += value;
    for (std::size_t i = 0; i < values.size(); ++i)
        values[i] = sum > 0.0f ? values[i] / sum
                               : static_cast<float>(i + 1) / static_cast<float>(values.size());
}

/// Where a share falls among the shares up to the ends of cells, in cells.
float cells_at(std::span<const float> until, float share) {
    const auto cell =
        std::min(static_cast<std::size_t>(std::ranges::upper_bound(until, share) - until.begin()),
                 until.size() - 1);
    const float before = cell == 0 ? 0.0f : until[cell - 1];
    const float within = (share - before) / std::max(until[cell] - before, 1e-12f);
    return static_cast<float>(cell) + std::clamp(within, 0.0f, 0.9999f);
}

}  // namespace

SkySampler::SkySampler(const std::vector<const Sky*>& skies) {
    std::vector<float> light(static_cast<std::size_t>(rows * columns), 0.0f);
    for (const Sky* sky : skies) {
        const float level_lx = luminance(sky->horizontal_lx());
        if (!(level_lx > 0.0f)) continue;
        for (int row = 0; row < rows; ++row)
            for (int column = 0; column < columns; ++column) {
                const auto middle = [](int cell) { return static_cast<float>(cell) + 0.5f; };
                const glm::vec3 direction =
                    towards(height_of(middle(row)), turn * middle(column) / columns);
                light[static_cast<std::size_t>(row * columns + column)] +=
                    std::max(0.0f, luminance(sky->luminance_cd_m2(direction))) / level_lx;
            }
    }
    double total = 0.0;
    rows_until_.assign(rows, 0.0f);
    for (int row = 0; row < rows; ++row) {
        const auto at = static_cast<float>(row);
        const float cell_sr = turn / columns * (height_of(at + 1.0f) - height_of(at));
        for (int column = 0; column < columns; ++column)
            rows_until_[static_cast<std::size_t>(row)] +=
                cell_sr * light[static_cast<std::size_t>(row * columns + column)];
        total += static_cast<double>(rows_until_[static_cast<std::size_t>(row)]);
    }
    if (!(total > 0.0)) return;
    per_sr_ = light;
    for (float& density : per_sr_) density /= static_cast<float>(total);
    make_shares(rows_until_);
    within_until_ = std::move(light);
    for (int row = 0; row < rows; ++row)
        make_shares(
            std::span(within_until_).subspan(static_cast<std::size_t>(row * columns), columns));
}

glm::vec3 SkySampler::at(const glm::vec2& place) const {
    const float row_at = cells_at(rows_until_, place.x);
    const auto row = static_cast<std::size_t>(row_at);
    const float low = height_of(static_cast<float>(row));
    const float height =
        low + (row_at - static_cast<float>(row)) * (height_of(static_cast<float>(row + 1)) - low);
    const float column_at =
        cells_at(std::span(within_until_).subspan(row * columns, columns), place.y);
    return towards(height, turn * column_at / columns);
}

float SkySampler::per_sr(const glm::vec3& direction) const {
    if (none() || direction.z <= 0.0f) return 0.0f;
    const int row = std::min(static_cast<int>(std::sqrt(direction.z) * rows), rows - 1);
    float bearing = std::atan2(direction.x, direction.y);
    if (bearing < 0.0f) bearing += turn;
    const int column = std::min(static_cast<int>(bearing * (columns / turn)), columns - 1);
    return per_sr_[static_cast<std::size_t>(row * columns + column)];
}

}  // namespace lampflight
