#include "scene/basics/colour.h"

#include <algorithm>

namespace lampflight {
namespace {

constexpr Vec2 d65_xy{0.3127, 0.3290};

/// A matrix from its rows, as printed; GLM's own order is by columns.
glm::dmat3 from_rows(const Vec3& first, const Vec3& second, const Vec3& third) {
    return glm::transpose(glm::dmat3(first, second, third));
}

Vec3 xyz_of(const Vec2& xy) {
    return {xy.x / xy.y, 1.0, (1.0 - xy.x - xy.y) / xy.y};
}

/// Linear Rec. 709 to XYZ from the primaries of ITU-R BT.709-6, items 1.3 and 1.4, by the
/// derivation of SMPTE RP 177: primaries scaled so that (1, 1, 1) is the white.
const glm::dmat3& rgb_to_xyz() {
    static const glm::dmat3 matrix = [] {
        const glm::dmat3 primaries(xyz_of({0.64, 0.33}), xyz_of({0.30, 0.60}),
                                   xyz_of({0.15, 0.06}));
        const Vec3 share = glm::inverse(primaries) * xyz_of(d65_xy);
        return glm::dmat3(primaries[0] * share.x, primaries[1] * share.y, primaries[2] * share.z);
    }();
    return matrix;
}

const glm::dmat3& xyz_to_rgb() {
    static const glm::dmat3 matrix = glm::inverse(rgb_to_xyz());
    return matrix;
}

/// Bradford's cone responses from XYZ.
const glm::dmat3& cones_from_xyz() {
    static const glm::dmat3 matrix =
        from_rows({0.8951, 0.2664, -0.1614}, {-0.7502, 1.7135, 0.0367}, {0.0389, -0.0685, 1.0296});
    return matrix;
}

Vec3 cones_of(const Vec2& xy) {
    return cones_from_xyz() * xyz_of(xy);
}

glm::dmat3 scaling(const Vec3& by) {
    return {Vec3(by.x, 0.0, 0.0), Vec3(0.0, by.y, 0.0), Vec3(0.0, 0.0, by.z)};
}

/// CIE 1960 uv of xy, and back.
Vec2 uv_of(const Vec2& xy) {
    return Vec2(4.0 * xy.x, 6.0 * xy.y) / (-2.0 * xy.x + 12.0 * xy.y + 3.0);
}
Vec2 xy_of(const Vec2& uv) {
    return Vec2(3.0 * uv.x, 2.0 * uv.y) / (2.0 * uv.x - 8.0 * uv.y + 4.0);
}

}  // namespace

Vec2 planckian_xy(double temperature_k) {
    const double temperature =
        std::clamp(temperature_k, lowest_temperature_k, highest_temperature_k);
    const double u = 1000.0 / temperature;
    const double x = temperature <= 4000.0
                         ? ((-0.2661239 * u - 0.2343589) * u + 0.8776956) * u + 0.179910
                         : ((-3.0258469 * u + 2.1070379) * u + 0.2226347) * u + 0.240390;
    double y = 0.0;
    if (temperature <= 2222.0)
        y = ((-1.1063814 * x - 1.34811020) * x + 2.18555832) * x - 0.20219683;
    else if (temperature <= 4000.0)
        y = ((-0.9549476 * x - 1.37418593) * x + 2.09137015) * x - 0.16748867;
    else
        y = ((3.0817580 * x - 5.87338670) * x + 3.75112997) * x - 0.37001483;
    return {x, y};
}

Rgb planckian_rgb(double temperature_k) {
    return rgb_of_xy(planckian_xy(temperature_k));
}

Rgb rgb_of_xy(const Vec2& xy) {
    const Rgb colour = xyz_to_rgb() * xyz_of(xy);
    // The standard rounds its luminance weights; this makes luminance() say exactly 1.
    return colour / luminance(colour);
}

double shifted_temperature_k(double temperature_k, double shift_mired) {
    const double mired = 1e6 / temperature_k + shift_mired;
    return 1e6 / std::max(mired, 1e6 / highest_temperature_k);
}

Vec2 white_balance_xy(const WhiteBalance& balance) {
    const double temperature_k =
        std::clamp(balance.temperature_k, lowest_temperature_k, highest_temperature_k);
    // The locus runs to smaller u as it gets hotter; green lies on its left.
    const Vec2 cooler = uv_of(planckian_xy(temperature_k / 1.01));
    const Vec2 hotter = uv_of(planckian_xy(temperature_k * 1.01));
    const Vec2 along = glm::normalize(cooler - hotter);
    return xy_of(uv_of(planckian_xy(temperature_k)) + balance.duv * Vec2(-along.y, along.x));
}

const glm::dmat3& sensor_from_rgb() {
    static const glm::dmat3 matrix =
        scaling(1.0 / cones_of(d65_xy)) * cones_from_xyz() * rgb_to_xyz();
    return matrix;
}

const glm::dmat3& rgb_from_sensor() {
    static const glm::dmat3 matrix = glm::inverse(sensor_from_rgb());
    return matrix;
}

Vec3 white_balance_gains(const WhiteBalance& balance) {
    // A tint far off a low temperature is of no light there is; no gain goes beyond 50.
    const Vec3 responses = cones_of(white_balance_xy(balance)) / cones_of(d65_xy);
    return 1.0 / glm::max(responses, Vec3(0.02));
}

glm::dmat3 white_balance_matrix(const WhiteBalance& balance) {
    return rgb_from_sensor() * scaling(white_balance_gains(balance)) * sensor_from_rgb();
}

}  // namespace lampflight
