#include "renderer/surface_light/direct_light.h"

#include <algorithm>
#include <cmath>

#include "tests/unit/renderer/lamp_light/lit_tile.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

const glm::vec3 up{0.0f, 0.0f, 1.0f};

/// A disc with the moon's mean radius, at an altitude due east.
SunMoonDisc moon_at(double altitude_deg) {
    const double altitude = radians(altitude_deg);
    return {glm::vec3(std::cos(altitude), 0.0, std::sin(altitude)), glm::vec3(0.2f, 0.3f, 0.4f),
            static_cast<float>(radians(0.26))};
}

/// Sixteen points of level ground in a row along x.
SurfacePacket row_of_points(float from_x_m, float step_m) {
    SurfacePacket points{};
    for (int i = 0; i < packet_size; ++i) {
        points.position_m.set(i, {from_x_m + step_m * static_cast<float>(i), 0.0f, 0.0f});
        points.normal.set(i, up);
        points.face_normal.set(i, up);
        points.found |= 1u << i;
    }
    return points;
}

}  // namespace

TEST_CASE("a disc in the open lights level ground by the sine of its altitude") {
    const Mesh ground = level_sheet(-20.0, 20.0, 20.0, 0.0);
    const Geometry geometry({&ground});
    for (const double altitude_deg : {2.0, 30.0, 89.0})
        for (const glm::vec3& light_lx :
             direct_lx(geometry, moon_at(altitude_deg), row_of_points(-3.0f, 0.4f), {4, 0, 7}))
            CHECK_WITHIN(glm::dvec3(light_lx),
                         std::sin(radians(altitude_deg)) * glm::dvec3(0.2, 0.3, 0.4), 1e-6);
}

TEST_CASE("a disc lights neither what looks away nor what nothing was found on") {
    const Geometry geometry(std::vector<const Mesh*>{});
    SurfacePacket points = row_of_points(0.0f, 1.0f);
    points.normal.set(3, -up);
    points.found &= ~(1u << 5);
    const auto light_lx = direct_lx(geometry, moon_at(40.0), points, {8, 0, 1});
    CHECK(light_lx[3] == glm::vec3(0.0f));
    CHECK(light_lx[5] == glm::vec3(0.0f));
    CHECK(light_lx[4].y > 0.0f);
}

TEST_CASE("a surface that the disc grazes gets a little light or none, never less") {
    const Geometry geometry(std::vector<const Mesh*>{});
    const SunMoonDisc moon = moon_at(30.0);
    SurfacePacket points = row_of_points(0.0f, 1.0f);
    int lit = 0;
    for (int step = -40; step <= 40; ++step) {  // the disc's middle to two radii above and below
        const double tilt = radians(30.0 + 90.0 + 0.013 * step);
        const glm::vec3 normal(std::cos(tilt), 0.0, std::sin(tilt));
        for (int i = 0; i < packet_size; ++i) points.normal.set(i, normal);
        for (const int count : {1, 2, 8})
            for (const glm::vec3& light_lx : direct_lx(geometry, moon, points, {count, 0, 5})) {
                CHECK(light_lx.x >= 0.0f);
                if (light_lx.x > 0.0f) ++lit;
            }
    }
    CHECK(lit > 0);
}

// Under the edge of a sheet h up, the disc is cut by a straight line: at a distance d of its radii
// from its middle the share (acos d - d sqrt(1 - d^2)) / pi of it is left.
TEST_CASE("the shadow of an edge is as soft as the disc is wide") {
    constexpr double height_m = 10.0;
    const Mesh sheet = level_sheet(-200.0, 0.0, 200.0, height_m);
    const Geometry geometry({&sheet});
    SunMoonDisc zenith = moon_at(90.0);
    const double radius_m = height_m * std::tan(static_cast<double>(zenith.radius_rad));
    for (const double d : {-1.2, -0.6, 0.0, 0.3, 0.8, 1.2}) {
        const SurfacePacket points = row_of_points(static_cast<float>(d * radius_m), 0.0f);
        double mean = 0.0;
        for (const glm::vec3& light_lx : direct_lx(geometry, zenith, points, {64, 0, 3}))
            mean += static_cast<double>(light_lx.y / zenith.normal_lx.y) / packet_size;
        const double cut = std::clamp(-d, -1.0, 1.0);
        // 1024 places spread over the disc.
        CHECK_WITHIN(mean, (std::acos(cut) - cut * std::sqrt(1.0 - cut * cut)) / pi, 0.01);
    }
}
