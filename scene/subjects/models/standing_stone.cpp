#include <array>

#include "scene/basics/noise.h"
#include "scene/subjects/models/distance.h"
#include "scene/subjects/models/isosurface.h"
#include "scene/subjects/models/models.h"

namespace lampflight {

namespace {

/// A plane given by its outward direction and its distance from the stone's middle.
struct Face {
    Vec3 outward;
    double distance_m;
};

// A slab split from its bed: broad before and behind, wider at the foot, its left shoulder broken
// off and its top slanting to the right.
const std::array<Face, 11> faces{{{{0.05, -1.00, 0.04}, 0.37},
                                  {{-0.60, -0.79, 0.07}, 0.66},
                                  {{0.74, -0.66, 0.05}, 0.67},
                                  {{-0.04, 1.00, 0.06}, 0.35},
                                  {{0.66, 0.75, 0.00}, 0.63},
                                  {{-1.00, 0.08, 0.08}, 0.66},
                                  {{-0.91, -0.10, 0.41}, 0.99},
                                  {{1.00, -0.06, 0.10}, 0.62},
                                  {{0.80, 0.14, 0.58}, 1.26},
                                  {{0.26, 0.06, 0.96}, 1.76},
                                  {{0.00, 0.00, -1.00}, 2.10}}};

const Vec3 middle_m{0.0, 0.0, 1.6};

/// A stone that keeps the slab upright in its pit.
struct Wedge {
    Vec3 place_m, radii_m;
};

const std::array<Wedge, 6> wedges{{{{-0.62, -0.52, 0.03}, {0.25, 0.17, 0.15}},
                                   {{0.14, -0.60, 0.00}, {0.29, 0.18, 0.13}},
                                   {{0.76, -0.40, 0.02}, {0.19, 0.22, 0.18}},
                                   {{0.86, 0.22, 0.00}, {0.20, 0.26, 0.13}},
                                   {{-0.86, 0.12, 0.01}, {0.20, 0.24, 0.16}},
                                   {{0.05, 0.58, 0.02}, {0.34, 0.20, 0.17}}}};

/// Broken, not rolled: each an egg with four flat breaks, turned its own way.
double wedges_m(const Vec3& place_m) {
    double nearest_m = 1.0;
    for (std::size_t i = 0; i < wedges.size(); ++i) {
        const auto& [middle, radii_m] = wedges[i];
        const Vec3 p = place_m - middle;
        double wedge_m = ellipsoid(p, 1.15 * radii_m);
        if (wedge_m > 0.2) continue;
        for (int cut = 0; cut < 4; ++cut) {
            const auto share = [&](int number) {
                return hash_share(static_cast<int>(i), cut, number, 440u);
            };
            const Vec3 outward =
                glm::normalize(Vec3(share(0) - 0.5, share(1) - 0.5, 0.1 + 0.7 * share(2)));
            wedge_m =
                shared(wedge_m, glm::dot(p, outward) - 0.72 * glm::length(radii_m * outward), 0.02);
        }
        nearest_m = std::min(nearest_m, wedge_m);
    }
    return nearest_m;
}

/// Runnels that rain has cut down from the top, and the layers of the stone where they come out.
double weather_m(const Vec3& p) {
    const double bend = 0.35 * gradient_noise(p * 0.8, 402u);
    const double runnel = gradient_noise(Vec3(4.2 * p.x + bend, 3.6 * p.y, 0.45 * p.z), 401u);
    const double rained_on = smooth_step(-0.4, 1.7, p.z);
    const double layer = gradient_noise(Vec3(1.1 * p.x, 11.0 * p.y + bend, 0.8 * p.z), 403u);
    return 0.045 * rained_on * std::max(0.0, runnel - 0.2) + 0.010 * layer;
}

/// A crack from the right edge down across the front.
double crack_m(const Vec3& p, double stone_m) {
    const double off_m = glm::dot(p, glm::normalize(Vec3(-0.46, 0.12, 0.88))) - 0.30;
    if (std::abs(off_m) > 0.3) return 1.0;
    const double bend = gradient_noise(p * 2.1, 405u);
    const double warp_m = 0.05 * bend + 0.012 * gradient_noise(p * 8.0, 406u);
    const double width_m = 0.016 * smooth_step(-0.25, 0.5, p.x) * (1.0 + 0.8 * bend);
    return std::max(std::abs(off_m + warp_m) - width_m, -stone_m - 0.10);
}

double standing_stone_distance_m(const Vec3& place_m) {
    Vec3 p = place_m - middle_m;
    p.x -= 0.075 * place_m.z;  // it has leant since it was set up
    p.y -= 0.035 * place_m.z;
    double stone_m = -1e9;
    for (const Face& face : faces)
        stone_m =
            shared(stone_m, glm::dot(p, glm::normalize(face.outward)) - face.distance_m, 0.10);
    stone_m = without(stone_m, ellipsoid(p - Vec3(0.86, -0.20, -0.35), {0.34, 0.52, 0.62}), 0.12);
    stone_m *= 0.85;
    if (std::abs(stone_m) < 0.30)
        stone_m -= 0.042 * gradient_noise(Vec3(1.3 * p.x, 1.3 * p.y, 0.8 * p.z), 400u);
    if (std::abs(stone_m) < 0.15) {
        stone_m += weather_m(p);
        const double eaten = 0.35 + 0.65 * smooth_step(-0.8, 0.9, gradient_noise(p * 1.2, 404u));
        stone_m -= 0.015 * eaten * fractal_noise(p * 3.6, 3, 0.6, 410u);
        const double pit = gradient_noise(p * 6.5, 420u) - 1.3;
        if (pit > 0.0) stone_m += std::min(0.03, 0.04 * pit) * eaten;
        stone_m = without(stone_m, crack_m(p, stone_m), 0.025);
    }
    double wedge_m = wedges_m(place_m);
    if (std::abs(wedge_m) < 0.1) wedge_m -= 0.012 * fractal_noise(place_m * 5.0, 2, 0.6, 430u);
    return std::min(stone_m, wedge_m);
}

}  // namespace

Mesh standing_stone_mesh() {
    Mesh mesh;
    mesh.materials = {{Rgb{0.275, 0.270, 0.255}, SurfaceRelief::stone}};
    add_isosurface(mesh, standing_stone_distance_m, {{-1.4, -1.1, -0.9}, {1.5, 1.2, 3.9}}, 0.028,
                   0);
    return mesh;
}

}  // namespace lampflight
