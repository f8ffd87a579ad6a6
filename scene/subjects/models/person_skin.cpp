#include <cmath>

#include "scene/basics/angle.h"
#include "scene/basics/noise.h"
#include "scene/subjects/models/distance.h"
#include "scene/subjects/models/person.h"

namespace lampflight {

namespace {

const Vec3 head_m{-0.008, -0.022, 1.602};

Vec3 mirrored(const Vec3& p) {
    return {std::abs(p.x), p.y, p.z};
}

/// Skull, cheeks and jaw.
double skull_m(const Vec3& p, const Vec3& half) {
    double d = ellipsoid(p - Vec3(0.0, 0.014, 0.028), {0.073, 0.092, 0.088});
    d = joined(d, ellipsoid(p - Vec3(0.0, -0.034, -0.034), {0.056, 0.057, 0.082}), 0.03);
    d = joined(d, tapered(half, {0.046, -0.020, -0.062}, {0.018, -0.066, -0.097}, 0.016, 0.016),
               0.03);
    d = joined(d, glm::distance(half, {0.044, -0.062, -0.022}) - 0.022, 0.03);
    return joined(d, glm::distance(p, {0.0, -0.079, -0.094}) - 0.017, 0.02);
}

double face_m(const Vec3& p) {
    const Vec3 half = mirrored(p);
    double d = skull_m(p, half);
    d = joined(d, tapered(half, {0.010, -0.087, 0.022}, {0.042, -0.075, 0.024}, 0.009, 0.008),
               0.02);
    d = without(d, glm::distance(half, {0.031, -0.104, 0.001}) - 0.0205, 0.012);
    d = joined(d, glm::distance(half, {0.031, -0.0775, 0.001}) - 0.0125, 0.006);
    d = joined(d, tapered(p, {0.0, -0.088, 0.012}, {0.0, -0.1095, -0.030}, 0.008, 0.0115), 0.014);
    d = joined(d, glm::distance(half, {0.0115, -0.098, -0.034}) - 0.0075, 0.008);
    d = joined(d, ellipsoid(p - Vec3(0.0, -0.0895, -0.0565), {0.023, 0.010, 0.0065}), 0.008);
    d = joined(d, ellipsoid(p - Vec3(0.0, -0.0885, -0.0685), {0.019, 0.010, 0.0075}), 0.008);
    // Hair under the hood's brim.
    const double fringe = smooth_step(0.070, 0.085, p.z + 22.0 * p.x * p.x);
    d -= 0.006 * fringe * (1.0 + 0.5 * std::sin(260.0 * p.x + 90.0 * p.z));
    return without(d, ellipsoid(p - Vec3(0.0, -0.102, -0.0625), {0.022, 0.008, 0.0022}), 0.004);
}

}  // namespace

Vec3 in_head(const Vec3& place_m) {
    constexpr double up_rad = radians(7.0), aside_rad = radians(9.0);
    const Vec3 p = place_m - head_m;
    const double x = p.x * std::cos(aside_rad) + p.y * std::sin(aside_rad);
    const double y = p.y * std::cos(aside_rad) - p.x * std::sin(aside_rad);
    return {x, y * std::cos(up_rad) - p.z * std::sin(up_rad),
            p.z * std::cos(up_rad) + y * std::sin(up_rad)};
}

double head_distance_m(const Vec3& place_m) {
    const Vec3 p = in_head(place_m);
    const double neck = tapered(p, {0.0, 0.022, -0.06}, {0.0, 0.04, -0.13}, 0.054, 0.058);
    return joined(face_m(p), neck, 0.02);
}

double hand_distance_m(const Vec3& place_m, const Limbs& limbs) {
    // Axes of the hanging hand: along the fingers, towards the thumb, towards the palm.
    const double inwards = limbs.wrist.x < 0.0 ? 1.0 : -1.0;
    const Vec3 along = glm::normalize(0.45 * glm::normalize(limbs.wrist - limbs.elbow) +
                                      Vec3(0.06 * inwards, -0.02, -0.6));
    const Vec3 palm = glm::normalize(Vec3(inwards, 0.28, 0.0) -
                                     along * glm::dot(along, Vec3(inwards, 0.28, 0.0)));
    const Vec3 thumb = glm::cross(along, palm) * inwards;
    const Vec3 off = place_m - limbs.wrist;
    const Vec3 p(glm::dot(off, along), glm::dot(off, thumb), glm::dot(off, palm));
    double d = tapered(p, {-0.05, 0.0, 0.0}, {0.02, 0.0, 0.0}, 0.027, 0.025);
    d = joined(d, ellipsoid(p - Vec3(0.055, 0.0, 0.0), {0.050, 0.041, 0.0175}), 0.02);
    for (int finger = 0; finger < 4; ++finger) {
        const double across = 0.029 - 0.0195 * finger;
        const double length = finger == 3 ? 0.78 : finger == 1 ? 1.06 : 1.0;
        const Vec3 knuckle(0.088 - 0.004 * std::abs(finger - 1), across, 0.0);
        const double curl = 0.30 + 0.11 * finger;
        const Vec3 middle = knuckle + 0.043 * length * Vec3(std::cos(curl), 0.0, std::sin(curl));
        const Vec3 tip =
            middle + 0.040 * length * Vec3(std::cos(2.4 * curl), -0.05, std::sin(2.4 * curl));
        const double bones = std::min(tapered(p, knuckle, middle, 0.0096, 0.0086),
                                      tapered(p, middle, tip, 0.0086, 0.0072));
        d = joined(d, bones, 0.005);
    }
    const Vec3 root(0.020, 0.030, 0.008), joint(0.060, 0.050, 0.020), tip(0.092, 0.050, 0.026);
    const double bones =
        std::min(tapered(p, root, joint, 0.0145, 0.011), tapered(p, joint, tip, 0.011, 0.0085));
    return joined(d, bones, 0.012);
}

}  // namespace lampflight
