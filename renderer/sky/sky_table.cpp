#include "renderer/sky/sky_table.h"

#include <algorithm>
#include <cmath>

#include <tbb/parallel_for.h>

#include "renderer/air/phase.h"
#include "renderer/sampling/catmull_rom.h"
#include "scene/basics/angle.h"
#include "scene/basics/vector.h"

namespace lampflight {
namespace {

constexpr int coarse_rows = 80;
constexpr int coarse_columns = 56;  // of half a turn: the air is alike left and right of the body

/// Marched nodes. Columns lie closer towards the body, where haze glows.
class CoarseTable {
public:
    CoarseTable(const Atmosphere& air, const std::array<glm::vec3, band_count>& bands_lx,
                const LitFrom& body, bool peak)
        : nodes_(static_cast<std::size_t>((coarse_rows + 1) * (coarse_columns + 1))) {
        tbb::parallel_for(0, coarse_rows + 1, [&](int row) {
            const double v = static_cast<double>(row) / coarse_rows;
            for (int column = 0; column <= coarse_columns; ++column) {
                const double altitude_rad = 0.5 * pi * v * v;
                const Scattered light = air.radiance(altitude_rad, bearing_rad(column), body);
                const double cosine = std::sin(altitude_rad) * std::sin(body.seen_altitude_rad) +
                                      std::cos(altitude_rad) * std::cos(body.seen_altitude_rad) *
                                          std::cos(bearing_rad(column));
                const auto once = peak ? static_cast<float>(haze_peak(cosine)) : 0.0f;
                glm::vec3 sum(0.0f);
                for (std::size_t band = 0; band < band_count; ++band)
                    sum += (light.smooth[band] + once * light.haze_once[band]) * bands_lx[band];
                const float level = std::max(luminance(sum), 1e-25f);
                nodes_[index(row, column)] = glm::vec4(sum / level, std::log(level));
            }
        });
    }

    /// `v` is the root of the altitude's share of a right angle; bearing from the body in 0 to pi.
    glm::vec3 at(double v, double from_body_rad) const {
        const double row_at = v * coarse_rows;
        const double column_at = column_of(from_body_rad);
        const int row = std::min(static_cast<int>(row_at), coarse_rows - 1);
        const int column = std::min(static_cast<int>(column_at), coarse_columns - 1);
        const glm::vec4 down = catmull_rom(static_cast<float>(row_at - row));
        const glm::vec4 across = catmull_rom(static_cast<float>(column_at - column));
        glm::vec4 sum(0.0f);
        for (int i = 0; i < 4; ++i)
            for (int j = 0; j < 4; ++j)
                sum += down[i] * across[j] * node(row + i - 1, column + j - 1);
        return glm::vec3(sum) * std::exp(sum.w);
    }

private:
    // Even about 0 and half a turn, as the sky is, so that mirrored nodes are right.
    static double bearing_rad(int column) {
        const double turn = pi * column / coarse_columns;
        return turn - 0.6 * std::sin(turn);
    }
    static double column_of(double from_body_rad) {
        double turn = from_body_rad;
        for (int i = 0; i < 12; ++i)
            turn -= (turn - 0.6 * std::sin(turn) - from_body_rad) / (1.0 - 0.6 * std::cos(turn));
        return std::clamp(turn / pi, 0.0, 1.0) * coarse_columns;
    }
    static std::size_t index(int row, int column) {
        return static_cast<std::size_t>(row * (coarse_columns + 1) + column);
    }
    /// Mirrored at the horizon, in which the altitude is even, and carried over the zenith.
    const glm::vec4& node(int row, int column) const {
        if (row < 0) row = -row;
        if (column < 0) column = -column;
        if (column > coarse_columns) column = 2 * coarse_columns - column;
        if (row > coarse_rows) row = 2 * coarse_rows - row, column = coarse_columns - column;
        return nodes_[index(row, column)];
    }

    std::vector<glm::vec4> nodes_;  // colour at luminance 1, and the logarithm of the luminance
};

}  // namespace

double SkyTable::altitude_rad(int row) {
    const double v = static_cast<double>(row) / (rows - 1);
    return 0.5 * pi * v * v;
}

double SkyTable::bearing_rad(int column) {
    return 2.0 * pi * column / columns;
}

float SkyTable::row_at(const glm::vec3& direction) {
    const float altitude = std::asin(std::clamp(direction.z, 0.0f, 1.0f));
    return std::sqrt(altitude * static_cast<float>(2.0 / pi)) * static_cast<float>(rows - 1);
}

SkyTable SkyTable::black() {
    SkyTable table;
    table.nodes_.assign(static_cast<std::size_t>(rows * (columns + 1)), glm::vec4(0.0f));
    return table;
}

void SkyTable::add(const SkyTable& other, const glm::vec3& factor) {
    for (std::size_t i = 0; i < nodes_.size(); ++i)
        nodes_[i] += other.nodes_[i] * glm::vec4(factor, 0.0f);
}

SkyTable::Place SkyTable::place_of(const glm::vec3& direction) {
    constexpr auto turn = static_cast<float>(2.0 * pi);
    const float row_at = SkyTable::row_at(direction);
    float bearing = std::atan2(direction.x, direction.y);
    if (bearing < 0.0f) bearing += turn;
    const float column_at = bearing * (static_cast<float>(columns) / turn);
    const int row = std::min(static_cast<int>(row_at), rows - 2);
    const int column = std::min(static_cast<int>(column_at), columns - 1);
    return {static_cast<std::size_t>(row * (columns + 1) + column),
            column_at - static_cast<float>(column), row_at - static_cast<float>(row)};
}

glm::vec3 SkyTable::at(const Place& place) const {
    const glm::vec4* low = &nodes_[place.node];
    const glm::vec4* high = low + columns + 1;
    return glm::vec3(glm::mix(glm::mix(low[0], low[1], place.across),
                              glm::mix(high[0], high[1], place.across), place.down));
}

glm::vec3 SkyTable::horizontal_lx() const {
    // Each stretch between rows by the midpoint rule; every column has the same share.
    constexpr int parts = 16;
    std::array<double, rows> weight{};
    for (int row = 0; row + 1 < rows; ++row)
        for (int part = 0; part < parts; ++part) {
            const double share = (part + 0.5) / parts;
            const double v = (row + share) / (rows - 1);
            const double altitude = 0.5 * pi * v * v;
            const double ground = std::sin(altitude) * std::cos(altitude) * pi * v /
                                  (parts * (rows - 1.0)) * (2.0 * pi / columns);
            weight[static_cast<std::size_t>(row)] += ground * (1.0 - share);
            weight[static_cast<std::size_t>(row) + 1] += ground * share;
        }
    glm::dvec3 sum(0.0);
    for (int row = 0; row < rows; ++row) {
        glm::dvec3 along(0.0);
        for (int column = 0; column < columns; ++column) along += glm::dvec3(node(row, column));
        sum += weight[static_cast<std::size_t>(row)] * along;
    }
    return glm::vec3(sum);
}

SkyTable lit_air(const Atmosphere& air, const std::array<glm::vec3, band_count>& bands_lx,
                 const LitFrom& body, double body_bearing_rad, bool peak) {
    const CoarseTable coarse(air, bands_lx, body, peak);
    SkyTable table = SkyTable::black();
    tbb::parallel_for(0, SkyTable::rows, [&](int row) {
        const double v = static_cast<double>(row) / (SkyTable::rows - 1);
        for (int column = 0; column <= SkyTable::columns; ++column) {
            const double off_rad =
                std::remainder(SkyTable::bearing_rad(column) - body_bearing_rad, 2.0 * pi);
            table.node(row, column) = glm::vec4(coarse.at(v, std::abs(off_rad)), 0.0f);
        }
    });
    return table;
}

}  // namespace lampflight
