#include "tests/benchmark/geometry.h"

#include <cmath>

#include "renderer/sampling/directions.h"
#include "scene/basics/angle.h"
#include "scene/basics/noise.h"
#include "scene/subjects/normals.h"
#include "tests/icosphere.h"

namespace lampflight::bench {
namespace {

using Corner = std::uint32_t;

Mesh empty_mesh(const Rgb& reflectance, SurfaceRelief relief) {
    Mesh mesh;
    mesh.materials = {{reflectance, relief}};
    return mesh;
}

void finish(Mesh& mesh) {
    mesh.material_of.assign(mesh.triangles.size(), 0);
    smooth_normals(mesh);
}

/// A face with corners of its own, so that its edges stay sharp; anticlockwise from outside.
void add_quad(Mesh& mesh, const std::array<Vec3, 4>& corners) {
    const auto first = static_cast<Corner>(mesh.positions.size());
    for (const Vec3& corner : corners) mesh.positions.emplace_back(corner);
    mesh.triangles.push_back({first, first + 1, first + 2});
    mesh.triangles.push_back({first, first + 2, first + 3});
}

void add_pole(Mesh& mesh, const Vec2& place_m, double diameter_m, double height_m) {
    constexpr Corner sides = 12;
    const double foot_m = ground_height_m(place_m) - 0.1;
    const auto first = static_cast<Corner>(mesh.positions.size());
    for (Corner i = 0; i < sides; ++i) {
        const double angle_rad = 2.0 * pi * i / sides;
        const Vec2 rim_m =
            place_m + 0.5 * diameter_m * Vec2(std::cos(angle_rad), std::sin(angle_rad));
        mesh.positions.emplace_back(Vec3(rim_m, foot_m));
        mesh.positions.emplace_back(Vec3(rim_m, foot_m + height_m));
    }
    for (Corner i = 0; i < sides; ++i) {
        const Corner here = first + 2 * i;
        const Corner next = first + 2 * ((i + 1) % sides);
        mesh.triangles.push_back({here, next, next + 1});
        mesh.triangles.push_back({here, next + 1, here + 1});
    }
}

}  // namespace

double ground_height_m(const Vec2& place_m) {
    return 0.12 * gradient_noise(place_m / 3.7, 11) + 0.05 * gradient_noise(place_m / 1.1, 12) +
           0.02 * gradient_noise(place_m / 0.43, 13);
}

Mesh displaced_ground(int cells, double side_m) {
    Mesh mesh = empty_mesh({0.28, 0.24, 0.19}, SurfaceRelief::soil);
    const auto across = static_cast<Corner>(cells + 1);
    for (Corner y = 0; y < across; ++y)
        for (Corner x = 0; x < across; ++x) {
            const Vec2 place_m = side_m * (Vec2(x, y) / static_cast<double>(cells) - 0.5);
            mesh.positions.emplace_back(Vec3(place_m, ground_height_m(place_m)));
        }
    for (Corner y = 0; y + 1 < across; ++y)
        for (Corner x = 0; x + 1 < across; ++x) {
            const Corner a = y * across + x;
            mesh.triangles.push_back({a, a + 1, a + across + 1});
            mesh.triangles.push_back({a, a + across + 1, a + across});
        }
    finish(mesh);
    return mesh;
}

Mesh rock(const Vec3& middle_m, double radius_m) {
    Mesh mesh = icosphere(Vec3(0.0), 1.0, 6, false);
    mesh.materials = {{Rgb{0.31, 0.29, 0.26}, SurfaceRelief::stone}};
    for (glm::vec3& position : mesh.positions) {
        const Vec3 out(position);
        const double bulge = 1.0 + 0.14 * gradient_noise(out * 1.6, 21) +
                             0.05 * fractal_noise(out * 4.0, 4, 0.55, 22);
        position = glm::vec3(middle_m + radius_m * bulge * out * Vec3(1.15, 0.95, 0.85));
    }
    smooth_normals(mesh);
    return mesh;
}

Mesh box(const Vec2& place_m, const Vec3& size_m, double turn_deg) {
    Mesh mesh = empty_mesh({0.40, 0.36, 0.30}, SurfaceRelief::none);
    const double foot_m = ground_height_m(place_m) - 0.15;
    const Vec3 along = 0.5 * size_m.x * direction_of(radians(turn_deg));
    const Vec3 side = 0.5 * size_m.y * direction_of(radians(turn_deg - 90.0));
    const std::array<Vec3, 4> floor{-along - side, along - side, along + side, -along + side};
    const Vec3 low(place_m, foot_m);
    const Vec3 high(place_m, foot_m + size_m.z);
    for (std::size_t i = 0; i < 4; ++i) {
        const Vec3& a = floor[i];
        const Vec3& b = floor[(i + 1) % 4];
        add_quad(mesh, {low + a, low + b, high + b, high + a});
    }
    add_quad(mesh, {high + floor[0], high + floor[1], high + floor[2], high + floor[3]});
    finish(mesh);
    return mesh;
}

Mesh fence(const Vec2& from_m, const Vec2& to_m, int poles, double pole_diameter_m,
           double height_m) {
    Mesh mesh = empty_mesh({0.33, 0.27, 0.20}, SurfaceRelief::none);
    for (int i = 0; i < poles; ++i)
        add_pole(mesh, glm::mix(from_m, to_m, static_cast<double>(i) / (poles - 1)),
                 pole_diameter_m, height_m);
    finish(mesh);
    return mesh;
}

Mesh leaves(const Vec3& middle_m, double ball_radius_m, int count, double leaf_m,
            std::uint32_t seed) {
    Mesh mesh = empty_mesh({0.12, 0.22, 0.07}, SurfaceRelief::none);
    for (int i = 0; i < count; ++i) {
        const auto even = [&](int which) { return hash_share(i, which, 0, seed); };
        const double height = 2.0 * even(0) - 1.0;
        const double turn_rad = 2.0 * pi * even(1);
        const double flat = std::sqrt(1.0 - height * height);
        const Vec3 out(flat * std::cos(turn_rad), flat * std::sin(turn_rad), height);
        const Vec3 at_m = middle_m + ball_radius_m * std::cbrt(even(2)) * out;
        const Across frame = across(cosine_direction(
            {0.0f, 0.0f, 1.0f}, {static_cast<float>(even(3)), static_cast<float>(even(4))}));
        const Vec3 along = 0.7 * leaf_m * Vec3(frame.tangent);
        const Vec3 side = 0.35 * leaf_m * Vec3(frame.bitangent);
        add_quad(mesh, {at_m - along, at_m + side, at_m + along, at_m - side});
    }
    finish(mesh);
    return mesh;
}

}  // namespace lampflight::bench
