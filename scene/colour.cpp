#include "scene/colour.h"

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

/// Scaling of Bradford cone responses from one white to another (Lam 1985; matrix as in
/// ICC.1:2010, annex E).
glm::dmat3 bradford(const Vec2& from_xy, const Vec2& to_xy) {
    const glm::dmat3 cones =
        from_rows({0.8951, 0.2664, -0.1614}, {-0.7502, 1.7135, 0.0367}, {0.0389, -0.0685, 1.0296});
    const Vec3 gain = (cones * xyz_of(to_xy)) / (cones * xyz_of(from_xy));
    const glm::dmat3 scale = from_rows({gain.x, 0.0, 0.0}, {0.0, gain.y, 0.0}, {0.0, 0.0, gain.z});
    return glm::inverse(cones) * scale * cones;
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
    const Rgb colour = xyz_to_rgb() * xyz_of(planckian_xy(temperature_k));
    // The standard rounds its luminance weights; this makes luminance() say exactly 1.
    return colour / luminance(colour);
}

double shifted_temperature_k(double temperature_k, double shift_mired) {
    const double mired = 1e6 / temperature_k + shift_mired;
    return 1e6 / std::max(mired, 1e6 / highest_temperature_k);
}

glm::dmat3 white_balance_matrix(double white_balance_k) {
    return xyz_to_rgb() * bradford(planckian_xy(white_balance_k), d65_xy) * rgb_to_xyz();
}

}  // namespace lampflight
