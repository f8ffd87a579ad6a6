#include "scene/models.h"

#include <cmath>

#include "scene/angle.h"
#include "scene/noise.h"

namespace lampflight {

namespace {

constexpr std::uint32_t slices = 96, stacks = 96;

/// A knobbly ellipsoid.
void add_lump(Mesh& mesh, const Vec3& centre_m, const Vec3& radii_m, double knobs_m) {
    const auto first = static_cast<std::uint32_t>(mesh.positions.size());
    for (std::uint32_t i = 0; i <= stacks; ++i)
        for (std::uint32_t j = 0; j < slices; ++j) {
            const Vec3 unit = direction_of(2.0 * pi * j / slices, pi * (i / double{stacks} - 0.5));
            const double knob_m = knobs_m * fractal_noise(unit * 2.0, 4, 0.5, 1u);
            mesh.positions.emplace_back(centre_m + unit * (radii_m + knob_m));
        }
    for (std::uint32_t i = 0; i < stacks; ++i)
        for (std::uint32_t j = 0; j < slices; ++j) {
            const std::uint32_t a = first + i * slices + j,
                                b = first + i * slices + (j + 1) % slices;
            mesh.triangles.push_back({a, a + slices, b});
            mesh.triangles.push_back({b, a + slices, b + slices});
        }
}

Mesh finished(Mesh mesh, const Material& material) {
    mesh.materials = {material};
    mesh.material_of.assign(mesh.triangles.size(), 0);
    split_long_edges(mesh, 0.06);
    smooth_normals(mesh);
    return mesh;
}

}  // namespace

Mesh person_mesh() {
    Mesh mesh;
    add_lump(mesh, {0.0, 0.0, 0.75}, {0.24, 0.14, 0.78}, 0.01);
    add_lump(mesh, {0.0, 0.0, 1.63}, {0.09, 0.10, 0.12}, 0.0);
    return finished(std::move(mesh), {Rgb{0.3, 0.3, 0.32}, Grain::cloth});
}

Mesh model_mesh(Model model) {
    switch (model) {
        case Model::person:
            return person_mesh();
        case Model::arch:
            return arch_mesh();
        case Model::boulder:
            return boulder_mesh();
    }
    return {};
}

}  // namespace lampflight
