// A dome of luminance as a table by altitude and bearing, and the part of it one body lights.
#pragma once

#include <vector>

#include <glm/glm.hpp>

#include "renderer/air/atmosphere.h"

namespace lampflight {

/// Linear Rec. 709 in cd/m2 over the upper hemisphere, linear between nodes. Rows stand even in the
/// square root of the altitude, hence dense near the horizon; columns even in bearing.
class SkyTable {
public:
    static constexpr int rows = 192;
    static constexpr int columns = 512;

    static double altitude_rad(int row);
    static double bearing_rad(int column);
    /// Where a direction lies between the rows; below the horizon, on the first.
    static float row_at(const glm::vec3& direction);

    glm::vec4& node(int row, int column) {
        return nodes_[static_cast<std::size_t>(row * (columns + 1) + column)];
    }
    const glm::vec4& node(int row, int column) const {
        return nodes_[static_cast<std::size_t>(row * (columns + 1) + column)];
    }

    /// Sum of this and another times a factor by colour.
    void add(const SkyTable& other, const glm::vec3& factor);

    /// Where a direction is looked up, in all tables alike: the first of four nodes and how far to
    /// go to the others. Below the horizon, that of the horizon.
    struct Place {
        std::size_t node;
        float across;
        float down;
    };
    static Place place_of(const glm::vec3& direction);

    glm::vec3 at(const Place& place) const;
    glm::vec3 at(const glm::vec3& direction) const { return at(place_of(direction)); }

    /// What it lays on open level ground, in lux: exact for the table as it is read.
    glm::vec3 horizontal_lx() const;

    static SkyTable black();

    /// `luminance_at` takes altitude and bearing in radians.
    template <class Luminance>
    static SkyTable filled(const Luminance& luminance_at) {
        SkyTable table = black();
        for (int row = 0; row < rows; ++row)
            for (int column = 0; column <= columns; ++column)
                table.node(row, column) =
                    glm::vec4(luminance_at(altitude_rad(row), bearing_rad(column)), 0.0f);
        return table;
    }

private:
    SkyTable() = default;

    std::vector<glm::vec4> nodes_;  // the first column stands again at the end
};

/// The dome that sun or moon lights in the air: linear Rec. 709 by altitude and bearing, for the
/// bands of light outside the air; some negative components. With `peak` the haze's peak is in it.
SkyTable lit_air(const Atmosphere& air, const std::array<glm::vec3, band_count>& bands_lx,
                 const LitFrom& body, double body_bearing_rad, bool peak);

}  // namespace lampflight
