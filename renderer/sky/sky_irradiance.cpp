#include "renderer/sky/sky_irradiance.h"

#include <algorithm>
#include <array>
#include <cmath>

#include <tbb/parallel_for.h>

#include "scene/basics/angle.h"

namespace lampflight {
namespace {

// Normals: rows from straight down to straight up, columns of bearing.
constexpr int rows = 33;
constexpr int columns = 64;

// Directions of the sky, closer together towards the horizon, where it changes fast.
constexpr int sky_rows = 64;
constexpr int sky_columns = 128;

struct Patch {
    glm::vec3 direction;
    glm::vec3 light;  ///< luminance times solid angle
};

glm::vec3 towards(double bearing_rad, double altitude_rad) {
    return {std::sin(bearing_rad) * std::cos(altitude_rad),
            std::cos(bearing_rad) * std::cos(altitude_rad), std::sin(altitude_rad)};
}

std::vector<Patch> patches(const std::function<glm::vec3(const glm::vec3&)>& luminance_cd_m2) {
    std::vector<Patch> sky(static_cast<std::size_t>(sky_rows * sky_columns));
    for (int row = 0; row < sky_rows; ++row) {
        const double v = (row + 0.5) / sky_rows;
        const double altitude_rad = 0.5 * pi * v * v;
        const double low = 0.5 * pi * std::pow(row / static_cast<double>(sky_rows), 2.0);
        const double high = 0.5 * pi * std::pow((row + 1.0) / sky_rows, 2.0);
        const auto patch_sr =
            static_cast<float>((std::sin(high) - std::sin(low)) * 2.0 * pi / sky_columns);
        for (int column = 0; column < sky_columns; ++column) {
            const glm::vec3 direction =
                towards(2.0 * pi * (column + 0.5) / sky_columns, altitude_rad);
            sky[static_cast<std::size_t>(row * sky_columns + column)] = {
                direction, patch_sr * luminance_cd_m2(direction)};
        }
    }
    return sky;
}

/// One row of normals by component, so that a compiler works several at once.
struct Row {
    std::array<float, columns + 1> red{}, green{}, blue{};
};

Row row_light(const std::vector<Patch>& sky, double altitude_rad) {
    std::array<float, columns + 1> east{}, north{};
    const auto up = static_cast<float>(std::sin(altitude_rad));
    for (std::size_t column = 0; column <= columns; ++column) {
        const glm::vec3 normal =
            towards(2.0 * pi * static_cast<double>(column) / columns, altitude_rad);
        east[column] = normal.x;
        north[column] = normal.y;
    }
    Row sum;
    for (const auto& [direction, light] : sky)
        for (std::size_t column = 0; column <= columns; ++column) {
            const float cosine = std::max(
                0.0f, east[column] * direction.x + north[column] * direction.y + up * direction.z);
            sum.red[column] += cosine * light.r;
            sum.green[column] += cosine * light.g;
            sum.blue[column] += cosine * light.b;
        }
    return sum;
}

}  // namespace

SkyIrradiance::SkyIrradiance(const std::function<glm::vec3(const glm::vec3&)>& luminance_cd_m2,
                             const glm::vec3& horizontal_lx)
    : nodes_(static_cast<std::size_t>(rows * (columns + 1))) {
    const std::vector<Patch> sky = patches(luminance_cd_m2);
    tbb::parallel_for(0, rows, [&](int row) {
        const Row light = row_light(sky, pi * (row / (rows - 1.0) - 0.5));
        for (std::size_t column = 0; column <= columns; ++column)
            nodes_[static_cast<std::size_t>(row) * (columns + 1) + column] = {
                light.red[column], light.green[column], light.blue[column]};
    });
    const glm::vec3 up = nodes_.back();
    for (glm::vec3& node : nodes_) node *= horizontal_lx / glm::max(up, glm::vec3(1e-30f));
}

glm::vec3 SkyIrradiance::at(const glm::vec3& normal) const {
    constexpr auto turn = static_cast<float>(2.0 * pi);
    const float altitude = std::asin(std::clamp(normal.z, -1.0f, 1.0f));
    const float row_at = (altitude * static_cast<float>(1.0 / pi) + 0.5f) * (rows - 1);
    float bearing = std::atan2(normal.x, normal.y);
    if (bearing < 0.0f) bearing += turn;
    const float column_at = bearing * (static_cast<float>(columns) / turn);
    const int row = std::clamp(static_cast<int>(row_at), 0, rows - 2);
    const int column = std::min(static_cast<int>(column_at), columns - 1);
    const float across = column_at - static_cast<float>(column);
    const glm::vec3* low = &nodes_[static_cast<std::size_t>(row * (columns + 1) + column)];
    const glm::vec3* high = low + columns + 1;
    return glm::mix(glm::mix(low[0], low[1], across), glm::mix(high[0], high[1], across),
                    row_at - static_cast<float>(row));
}

}  // namespace lampflight
