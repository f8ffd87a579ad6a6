#include <array>

#include "scene/basics/noise.h"
#include "scene/subjects/models/distance.h"
#include "scene/subjects/models/isosurface.h"
#include "scene/subjects/models/models.h"

namespace lampflight {

namespace {

/// A plane given by its outward direction and its distance from the boulder's middle.
struct Facet {
    Vec3 outward;
    double distance_m;
};

// Where the block once broke: long faces to the front left and the right, an overhang behind,
// a sloping top.
const std::array<Facet, 10> facets{{{{-0.60, -0.72, 0.35}, 0.84},
                                    {{0.32, -0.91, 0.26}, 0.80},
                                    {{0.88, -0.12, 0.46}, 1.06},
                                    {{0.57, 0.80, -0.10}, 0.88},
                                    {{-0.42, 0.87, 0.27}, 0.85},
                                    {{-0.93, 0.10, 0.36}, 1.15},
                                    {{-0.20, 0.12, 0.97}, 1.12},
                                    {{0.50, -0.22, 0.84}, 1.03},
                                    {{0.66, -0.66, 0.10}, 1.00},
                                    {{-0.70, -0.15, 0.70}, 1.10}}};

/// A crack: a warped sheet that cuts in from the surface on one side.
struct Crack {
    Vec3 across;
    double offset_m;
    Vec3 end;  ///< towards this side it is open
    double half_width_m;
};

const std::array<Crack, 3> cracks{{{{0.88, -0.10, 0.46}, 0.34, {0.3, -0.9, 0.3}, 0.020},
                                   {{-0.28, 0.22, 0.93}, 0.30, {-0.9, -0.4, 0.1}, 0.024},
                                   {{0.62, 0.76, -0.18}, -0.22, {0.1, -0.3, 0.95}, 0.014}}};

const Vec3 middle_m{0.0, 0.02, 0.68};

double cracks_m(const Vec3& p, double rock_m) {
    double nearest_m = 1.0;
    for (std::size_t i = 0; i < cracks.size(); ++i) {
        const Crack& crack = cracks[i];
        const double open = glm::dot(p, crack.end) - 0.15;
        const double off_m = glm::dot(p, crack.across) - crack.offset_m;
        if (open < 0.0 || std::abs(off_m) > 0.3) continue;
        const auto seed = 300u + static_cast<std::uint32_t>(i);
        const double bend = gradient_noise(p * 1.9, seed);
        const double warp_m = 0.055 * bend + 0.015 * gradient_noise(p * 7.5, seed + 10u);
        // Gapes in places, is a mere line in others.
        const double width_m =
            crack.half_width_m * smooth_step(0.0, 0.6, open) * (1.0 + 0.9 * bend);
        nearest_m = std::min(nearest_m, std::abs(off_m + warp_m) - width_m);
    }
    return std::max(nearest_m, -rock_m - 0.14);  // no deeper than that
}

/// Beds of slightly different hardness: where one ends, the rock steps back.
double ledges_m(const Vec3& p) {
    const double bed =
        glm::dot(p, Vec3(-0.21, 0.17, 0.963)) * 3.4 + 0.3 * gradient_noise(p * 1.7, 202u);
    const double in_bed = bed - std::floor(bed);
    if (in_bed > 0.3) return 0.0;
    const double strength = 0.4 + 0.4 * gradient_noise(p * 0.9, 203u);
    return 0.05 * std::max(0.0, strength) * smooth_step(0.3, 0.12, in_bed) *
           smooth_step(0.0, 0.05, in_bed);
}

double boulder_distance_m(const Vec3& place_m) {
    const Vec3 p = place_m - middle_m;
    double rock_m = ellipsoid(p, {1.46, 1.16, 1.30});
    for (const Facet& facet : facets)
        rock_m = shared(rock_m, glm::dot(p, facet.outward) - facet.distance_m, 0.09);
    rock_m *= 0.85;
    if (std::abs(rock_m) > 0.22) return rock_m;
    rock_m -= 0.040 * gradient_noise(p * 1.3, 201u);
    rock_m += ledges_m(p);
    if (std::abs(rock_m) > 0.11) return rock_m;  // what follows can't reach as far
    // Some faces are fresh and smooth, others eaten by frost.
    const double eaten = 0.3 + 0.7 * smooth_step(-0.9, 0.9, gradient_noise(p * 1.1, 204u));
    rock_m -= 0.021 * eaten * fractal_noise(p * 3.3, 3, 0.6, 210u);
    const double pit = gradient_noise(p * 6.0, 220u) - 1.2;
    if (pit > 0.0) rock_m += std::min(0.04, 0.05 * pit) * eaten;
    return without(rock_m, cracks_m(p, rock_m), 0.03);
}

}  // namespace

Mesh boulder_mesh() {
    Mesh mesh;
    mesh.materials = {{Rgb{0.30, 0.285, 0.26}, SurfaceRelief::stone}};
    add_isosurface(mesh, boulder_distance_m, {{-1.7, -1.4, -0.8}, {1.7, 1.4, 2.2}}, 0.033, 0);
    return mesh;
}

}  // namespace lampflight
