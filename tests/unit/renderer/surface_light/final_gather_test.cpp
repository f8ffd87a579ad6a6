#include "renderer/surface_light/final_gather.h"

#include <algorithm>
#include <cmath>

#include "renderer/sampling/low_discrepancy.h"
#include "scene/basics/angle.h"
#include "tests/film.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

const glm::vec3 upward{0.0f, 0.0f, 1.0f};

/// A wall all round, 100 m off, that hides the sky up to an altitude seen from the middle.
Mesh round_wall(double altitude_deg) {
    constexpr std::uint32_t sides = 720;
    Mesh wall;
    const double height_m = 100.0 * std::tan(radians(altitude_deg));
    for (std::uint32_t k = 0; k < sides; ++k)
        for (const double z_m : {-1.0, height_m}) {
            const Vec3 foot_m = 100.0 * direction_of(2.0 * pi * k / sides, 0.0);
            wall.positions.push_back(glm::vec3(foot_m.x, foot_m.y, z_m));
            wall.normals.push_back(glm::vec3(-0.01 * foot_m));
        }
    for (std::uint32_t k = 0; k < sides; ++k) {
        const std::uint32_t next = (k + 1) % sides;
        wall.triangles.push_back({2 * k, 2 * next, 2 * k + 1});
        wall.triangles.push_back({2 * k + 1, 2 * next, 2 * next + 1});
    }
    wall.material_of.assign(wall.triangles.size(), 0);
    wall.materials = {{Rgb(ground_reflectance), SurfaceRelief::none}};
    return wall;
}

SurfacePacket level_points() {
    SurfacePacket points{};
    for (int i = 0; i < packet_size; ++i) {
        points.normal.set(i, upward);
        points.face_normal.set(i, upward);
        points.found |= 1u << i;
    }
    return points;
}

/// Deep dusk, the sun set in the west: the brightest sky is 28 times the mean, 5 degrees up.
Sky afterglow() {
    NightSky night;
    night.sun.altitude_deg = -8.6;
    night.sun.direction = direction_of(radians(250.0), radians(-8.6));
    night.sun.clear_lx = 0.17;
    return Sky(night);
}

/// Luminance of a sky's light on level points in the middle of a wall: as many packets as there are
/// blocks in the neighbourhood over which a pixel's light is taken together, at one ray a sample.
class WalledSky {
public:
    WalledSky(const Sky& sky, double altitude_deg)
        : skies_{&sky}, shining_(skies_), wall_(round_wall(altitude_deg)), geometry_({&wall_}) {}

    struct Light {
        double seen_lx = 0.0;
        double asked_lx = 0.0;
    };

    Light around_pixel(std::uint32_t seed) const {
        constexpr std::uint32_t blocks = 3;
        constexpr std::uint32_t samples = 2;
        Light sum;
        Gathered gathered;
        for (std::uint32_t block = 0; block < blocks; ++block)
            for (std::uint32_t sample = 0; sample < samples; ++sample) {
                final_gather({geometry_, skies_, shining_, no_cells_, nullptr}, level_points(),
                             {1, sample, hash_of(seed, block)}, nullptr, gathered);
                for (std::size_t i = 0; i < packet_size; ++i) {
                    const double share = 1.0 / (blocks * samples * packet_size);
                    sum.seen_lx += share * luminance_of(gathered.skies[0].seen_lx[i]);
                    sum.asked_lx += share * luminance_of(gathered.skies[0].asked_lx[i]);
                }
            }
        return sum;
    }

private:
    std::vector<const Sky*> skies_;
    SkySampler shining_;
    Mesh wall_;
    Geometry geometry_;
    IrradianceCache no_cells_;
};

/// By steps over the sky above an altitude.
double level_lx_above(const Sky& sky, double altitude_deg) {
    constexpr int rows = 720;
    constexpr int columns = 360;
    const double low = radians(altitude_deg);
    double sum = 0.0;
    for (int row = 0; row < rows; ++row)
        for (int column = 0; column < columns; ++column) {
            const double altitude_rad = low + (0.5 * pi - low) * (row + 0.5) / rows;
            const glm::vec3 direction(
                direction_of(2.0 * pi * (column + 0.5) / columns, altitude_rad));
            sum += luminance_of(sky.luminance_cd_m2(direction)) * std::sin(altitude_rad) *
                   std::cos(altitude_rad) * ((0.5 * pi - low) / rows) * (2.0 * pi / columns);
        }
    return sum;
}

}  // namespace

TEST_CASE("rays over the hemisphere find what a wall leaves of an afterglow") {
    const Sky sky = afterglow();
    constexpr double wall_deg = 8.0;
    const WalledSky walled(sky, wall_deg);
    const double seen_lx = level_lx_above(sky, wall_deg);
    const double share = seen_lx / level_lx_above(sky, 0.0);
    CHECK(share > 0.7);
    CHECK(share < 0.9);
    constexpr std::uint32_t pixels = 2000;
    double mean_lx = 0.0;
    double squares = 0.0;
    double worst = 0.0;
    for (std::uint32_t pixel = 0; pixel < pixels; ++pixel) {
        const auto light = walled.around_pixel(pixel);
        mean_lx += light.seen_lx / pixels;
        const double off = light.seen_lx / light.asked_lx / share - 1.0;
        squares += off * off / pixels;
        worst = std::max(worst, std::abs(off));
    }
    CHECK_RELATIVE(mean_lx, seen_lx, 0.01);
    // No ray may weigh so much that the neighbourhood that it falls into stands out as a square.
    INFO("rms ", std::sqrt(squares), ", worst ", worst);
    CHECK(std::sqrt(squares) < 0.04);
    CHECK(worst < 0.15);
}

// Under the standard overcast sky, (1 + 2 sin altitude) / 3 of the zenith (Moon & Spencer 1942,
// from memory), a wall of altitude h leaves level ground 1 - (3 sin^2 h + 4 sin^3 h) / 7 of its
// light.
TEST_CASE("rays over the hemisphere: an overcast sky behind a wall") {
    NightSky night;
    night.cloud_share = 1.0;
    const Sky sky(night);
    const double irradiance_lx = static_cast<double>(luminance(sky.horizontal_lx()));
    for (const double wall_deg : {10.0, 30.0, 60.0}) {
        const WalledSky walled(sky, wall_deg);
        const double s = std::sin(radians(wall_deg));
        double seen_lx = 0.0;
        constexpr std::uint32_t pixels = 2000;
        for (std::uint32_t pixel = 0; pixel < pixels; ++pixel)
            seen_lx += walled.around_pixel(pixel).seen_lx / pixels;
        CHECK_WITHIN(seen_lx / irradiance_lx, 1.0 - (3.0 * s * s + 4.0 * s * s * s) / 7.0, 0.003);
    }
}
