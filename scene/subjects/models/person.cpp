#include "scene/subjects/models/person.h"

#include <array>
#include <cmath>

#include "scene/basics/noise.h"
#include "scene/subjects/models/distance.h"
#include "scene/subjects/models/isosurface.h"
#include "scene/subjects/models/models.h"

namespace lampflight {

namespace {

enum Part : std::uint16_t { jacket, trousers, skin, boots, soles, hair, lips, eyes };

/// 1 at a height, falling off over a reach.
double about(double z, double height_m, double reach_m) {
    const double off = (z - height_m) / reach_m;
    return std::exp(-off * off);
}

/// Creases as cloth makes them: round backs, sharp valleys; 0 on average.
double creases(const Vec3& p, const Vec3& per_m, std::uint32_t seed) {
    // Turned off the lattice's axes, along which the valleys would line up.
    const Vec3 askew(p.x + 0.62 * p.y, p.y - 0.62 * p.x, p.z + 0.31 * p.x - 0.22 * p.y);
    const double n = gradient_noise(askew * per_m, seed);
    return std::sqrt(n * n + 0.03) - 0.80;
}

/// An ellipse of the torso at a height.
struct Section {
    double z, x, y, half_width, half_depth;
};

constexpr std::array<Section, 9> torso{{{0.76, -0.026, 0.008, 0.214, 0.160},
                                        {0.86, -0.027, 0.008, 0.209, 0.157},
                                        {0.97, -0.026, 0.005, 0.192, 0.144},
                                        {1.08, -0.022, 0.000, 0.180, 0.130},
                                        {1.20, -0.017, 0.000, 0.190, 0.137},
                                        {1.31, -0.013, 0.004, 0.198, 0.141},
                                        {1.39, -0.011, 0.012, 0.172, 0.126},
                                        {1.45, -0.010, 0.018, 0.112, 0.094},
                                        {1.53, -0.009, 0.012, 0.086, 0.086}}};

double between(double a, double b, double t) {
    return a + (b - a) * t;
}

Section torso_at(double z) {
    z = std::clamp(z, torso.front().z, torso.back().z);
    std::size_t k = 0;
    while (k + 2 < torso.size() && z > torso[k + 1].z) ++k;
    const Section &a = torso[k], &b = torso[k + 1];
    const double t =
        smooth_step(0.0, 1.0, (z - a.z) / (b.z - a.z)) * 0.5 + 0.5 * (z - a.z) / (b.z - a.z);
    return {z, between(a.x, b.x, t), between(a.y, b.y, t), between(a.half_width, b.half_width, t),
            between(a.half_depth, b.half_depth, t)};
}

double torso_m(const Vec3& p) {
    const Section section = torso_at(p.z);
    const Vec2 off(p.x - section.x, p.y - section.y);
    const Vec2 half(section.half_width, section.half_depth);
    const double level = glm::length(off / half);
    const double slope = glm::length(off / (half * half));
    const double d = slope > 1e-6 ? level * (level - 1.0) / slope : -section.half_depth;
    return std::max(0.9 * d, p.z - torso.back().z);
}

double sleeve_m(const Vec3& p, const Limbs& limbs) {
    const Vec3 forearm = glm::normalize(limbs.wrist - limbs.elbow);
    double d = tapered(p, limbs.shoulder, limbs.elbow, 0.071, 0.058);
    d = joined(d, tapered(p, limbs.elbow, limbs.wrist + 0.03 * forearm, 0.058, 0.045), 0.03);
    const double past_m = glm::dot(p - limbs.wrist, forearm) - 0.012;
    if (std::abs(d) < 0.03) {
        const double bend = std::exp(-glm::dot(p - limbs.elbow, p - limbs.elbow) / (0.11 * 0.11));
        d -= (0.0035 + 0.0065 * bend) * creases(p, {9.0, 9.0, 24.0}, 61u);
        // A knitted cuff gathers the end.
        d += 0.006 * smooth_step(-0.062, -0.050, past_m) -
             0.003 * smooth_step(-0.052, -0.038, past_m);
    }
    return shared(d, past_m, 0.008);
}

/// The hood, up: snug about the temples, seamed over the crown, open before the face.
double hood_m(const Vec3& place_m) {
    const Vec3 p = in_head(place_m);
    double d = ellipsoid(p - Vec3(0.0, 0.022, 0.016), {0.104, 0.128, 0.129});
    d = joined(d, ellipsoid(p - Vec3(0.0, 0.090, 0.030), {0.055, 0.070, 0.075}), 0.05);
    d = joined(d, tapered(p, {0.0, 0.040, -0.030}, {0.0, 0.055, -0.150}, 0.094, 0.105), 0.05);
    d = joined(d, tapered(p, {0.0, -0.030, -0.125}, {0.0, 0.03, -0.17}, 0.070, 0.09), 0.03);
    if (std::abs(d) < 0.03) {
        d -= 0.004 * std::exp(-(p.x * p.x) / (0.007 * 0.007)) * smooth_step(-0.08, 0.0, p.z);
        d -= 0.005 * creases(p, {11.0, 9.0, 15.0}, 66u) * smooth_step(0.09, -0.04, p.z);
    }
    const double opening = ellipsoid(p - Vec3(0.0, -0.104, -0.006), {0.067, 0.108, 0.104});
    const double rim = std::abs(opening) < 0.03 ? -0.004 * about(opening, 0.012, 0.008) : 0.0;
    return without(d + rim, opening, 0.012);
}

/// Placket and pockets, raised a little from the jacket's front.
double trim_m(const Vec3& p) {
    if (p.y > 0.0) return 0.0;
    const double x = p.x - torso_at(p.z).x;
    const auto patch = [](double value, double low, double high) {
        return smooth_step(low - 0.005, low + 0.005, value) *
               smooth_step(high + 0.005, high - 0.005, value);
    };
    const double placket = patch(x, -0.024, 0.024) * smooth_step(1.50, 1.47, p.z);
    const double side = std::abs(x);
    const double pocket = patch(side, 0.068, 0.165) * patch(p.z, 0.855, 0.985);
    const double flap = patch(side, 0.064, 0.169) * patch(p.z, 0.955, 0.990);
    return 0.005 * placket + 0.004 * pocket + 0.005 * flap;
}

double jacket_m(const Vec3& p) {
    double d = torso_m(p);
    for (const Limbs* limbs : {&right_limbs, &left_limbs}) {
        const Vec3 neck(-0.009, 0.022, 1.470);
        d = joined(d, tapered(p, neck, limbs->shoulder, 0.066, 0.066), 0.07);
    }
    if (std::abs(d) < 0.04) {
        const double waist = about(p.z, 0.98, 0.11), chest = about(p.z, 1.27, 0.12);
        d -= (0.004 + 0.006 * waist) * creases(p, {6.0, 6.0, 17.0}, 62u);
        d -=
            (0.004 + 0.004 * chest) * creases(p + 0.5 * Vec3(p.z, 0.0, 0.0), {13.0, 8.0, 4.5}, 63u);
        d -= trim_m(p);
        // The drawcord above the hem.
        d += 0.008 * about(p.z, 0.825, 0.012);
    }
    for (const Limbs* limbs : {&right_limbs, &left_limbs})
        d = joined(d, sleeve_m(p, *limbs), 0.035);
    if (p.z > 1.3) d = joined(d, hood_m(p), 0.025);
    // What the face looks out of cuts the collar too.
    if (p.z > 1.3)
        d = without(d, ellipsoid(in_head(p) - Vec3(0.0, -0.12, -0.02), {0.06, 0.11, 0.085}), 0.012);
    const double hem = 0.792 + 0.006 * std::sin(9.0 * p.x + 1.0) + 0.02 * p.y;
    return shared(d, hem - p.z, 0.012);
}

double trouser_leg_m(const Vec3& p, const Limbs& limbs) {
    double d = tapered(p, limbs.hip, limbs.knee, 0.100, 0.073);
    d = joined(d, tapered(p, limbs.knee, limbs.ankle, 0.073, 0.064), 0.04);
    const Vec3 calf = glm::mix(limbs.knee, limbs.ankle, 0.32) + Vec3(0.0, 0.022, 0.0);
    return joined(d, ellipsoid(p - calf, {0.066, 0.068, 0.15}), 0.05);
}

double trousers_m(const Vec3& p) {
    double d = ellipsoid(p - Vec3(-0.024, 0.006, 0.930), {0.165, 0.112, 0.130});
    d = joined(d, joined(trouser_leg_m(p, right_limbs), trouser_leg_m(p, left_limbs), 0.02), 0.05);
    // Under the jacket they keep clear of it.
    d += 0.022 * smooth_step(0.79, 0.86, p.z);
    if (std::abs(d) < 0.04) {
        const double knee = about(p.z, 0.46, 0.11), boot = about(p.z, 0.13, 0.075),
                     seat = about(p.z, 0.78, 0.08);
        d -= (0.002 + 0.005 * knee + 0.008 * boot + 0.005 * seat) *
             creases(p, {6.0, 6.0, 19.0}, 64u);
        d -= 0.005 * creases(p + Vec3(0.25 * p.z, 0.0, 0.0), {12.0, 12.0, 3.2}, 65u);
    }
    const double hem = 0.058 - 0.03 * p.y;
    return shared(d, hem - p.z, 0.006);
}

/// Forward, sideways and up from below the ankle.
Vec3 in_foot(const Vec3& p, const Limbs& limbs) {
    const Vec2 off(p.x - limbs.ankle.x, p.y - limbs.ankle.y);
    return {off.x * limbs.toes.x + off.y * limbs.toes.y,
            off.x * limbs.toes.y - off.y * limbs.toes.x, p.z};
}

double boot_m(const Vec3& place_m, const Limbs& limbs) {
    const Vec3 p = in_foot(place_m, limbs);
    double d = tapered(p, {-0.006, 0.0, 0.085}, {-0.002, 0.0, 0.135}, 0.048, 0.042);
    d = joined(d, ellipsoid(p - Vec3(-0.030, 0.0, 0.060), {0.052, 0.039, 0.055}), 0.03);
    d = joined(d, tapered(p, {0.015, 0.0, 0.085}, {0.110, 0.0, 0.050}, 0.046, 0.040), 0.04);
    d = joined(d, ellipsoid(p - Vec3(0.138, 0.0, 0.045), {0.066, 0.046, 0.036}), 0.03);
    // Toe cap and lacing.
    if (std::abs(d) < 0.03) {
        d -= 0.003 * smooth_step(0.135, 0.143, p.x);
        const double lace = std::sin((p.x - 0.6 * p.z) * 210.0);
        d -= 0.003 * std::max(0.0, lace) * smooth_step(0.03, 0.018, std::abs(p.y)) *
             smooth_step(0.015, 0.03, p.x) * smooth_step(0.125, 0.11, p.x);
    }
    return shared(d, 0.016 - p.z, 0.006);
}

double sole_m(const Vec3& place_m, const Limbs& limbs) {
    const Vec3 p = in_foot(place_m, limbs);
    const Vec3 flat(p.x, p.y, 0.0);
    double d = tapered(flat, {-0.042, 0.0, 0.0}, {0.03, 0.0, 0.0}, 0.043, 0.038);
    d = joined(d, tapered(flat, {0.095, 0.002, 0.0}, {0.158, -0.002, 0.0}, 0.051, 0.044), 0.05);
    d = shared(d, std::abs(p.z - 0.014) - 0.014, 0.007);
    // Under the arch the sole leaves the ground.
    return without(d, std::max(std::abs(p.x - 0.025) - 0.022, p.z - 0.010), 0.006);
}

/// Hair, brows, eyes and lips, by where they are on the head.
Part part_of_head(const Vec3& p) {
    const double side = std::abs(p.x);
    const Vec2 eye(side - 0.031, p.z - 0.0005 - 0.06 * (side - 0.031));
    if (p.y < -0.07 && glm::length(eye / Vec2(0.0125, 0.0042)) < 1.0) return eyes;
    const double brow = 0.0225 - 14.0 * (side - 0.032) * (side - 0.032);
    if (p.y < -0.055 && side > 0.011 && side < 0.050 && std::abs(p.z - brow) < 0.0042) return hair;
    if (p.y < -0.088 && side < 0.023 &&
        std::abs(p.z + 0.0625) < 0.0105 * std::sqrt(1.0 - side / 0.023))
        return lips;
    const double hairline = 0.078 - 22.0 * side * side + 0.25 * (p.y + 0.07);
    return p.z > hairline || (p.y > -0.045 && p.z > -0.03) ? hair : skin;
}

void paint_head(Mesh& mesh, std::size_t first_triangle) {
    for (std::size_t i = first_triangle; i < mesh.triangles.size(); ++i) {
        Vec3 sum(0.0);
        for (const std::uint32_t corner : mesh.triangles[i]) sum += Vec3(mesh.positions[corner]);
        mesh.material_of[i] = part_of_head(in_head(sum / 3.0));
    }
}

double pair_m(const Vec3& p, double (*part_m)(const Vec3&, const Limbs&)) {
    return std::min(part_m(p, right_limbs), part_m(p, left_limbs));
}

}  // namespace

Mesh person_mesh() {
    Mesh mesh;
    mesh.materials = {{Rgb{0.31, 0.195, 0.092}, SurfaceRelief::cloth},
                      {Rgb{0.115, 0.120, 0.135}, SurfaceRelief::cloth},
                      {Rgb{0.40, 0.265, 0.195}, SurfaceRelief::none},
                      {Rgb{0.105, 0.075, 0.052}, SurfaceRelief::none},
                      {Rgb{0.045, 0.043, 0.042}, SurfaceRelief::none},
                      {Rgb{0.070, 0.045, 0.030}, SurfaceRelief::none},
                      {Rgb{0.32, 0.165, 0.135}, SurfaceRelief::none},
                      {Rgb{0.085, 0.070, 0.060}, SurfaceRelief::none}};
    add_isosurface(mesh, jacket_m, {{-0.42, -0.22, 0.74}, {0.40, 0.24, 1.80}}, 0.013, jacket);
    add_isosurface(mesh, trousers_m, {{-0.28, -0.20, 0.01}, {0.30, 0.20, 1.10}}, 0.0135, trousers);
    const std::size_t head = mesh.triangles.size();
    add_isosurface(mesh, head_distance_m, {{-0.13, -0.19, 1.36}, {0.12, 0.14, 1.76}}, 0.005, skin);
    paint_head(mesh, head);
    for (const Limbs* limbs : {&right_limbs, &left_limbs}) {
        const Vec3 middle = limbs->wrist + Vec3(0.0, -0.02, -0.075);
        add_isosurface(
            mesh, [limbs](const Vec3& p) { return hand_distance_m(p, *limbs); },
            {middle - Vec3(0.09, 0.11, 0.15), middle + Vec3(0.09, 0.11, 0.16)}, 0.0065, skin);
    }
    const Box floor{{-0.30, -0.30, -0.03}, {0.36, 0.14, 0.27}};
    add_isosurface(
        mesh, [](const Vec3& p) { return pair_m(p, boot_m); }, floor, 0.010, boots);
    add_isosurface(
        mesh, [](const Vec3& p) { return pair_m(p, sole_m); }, floor, 0.010, soles);
    return mesh;
}

}  // namespace lampflight
