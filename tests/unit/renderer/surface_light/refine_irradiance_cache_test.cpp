#include "renderer/surface_light/refine_irradiance_cache.h"

#include <algorithm>
#include <functional>

#include "tests/unit/renderer/surface_light/lit_sheet.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

using LightAt = std::function<float(const glm::vec3&)>;

LumenIrradiance lamp_on(const SurfacePoints& points, const LightAt& light) {
    LumenIrradiance lxs;
    std::ranges::transform(points.position_m, std::back_inserter(lxs), light);
    return lxs;
}

/// A floor of 8 x 8 m far from the lens, so that its cells hold several vertices.
class Floor {
public:
    explicit Floor(const LightAt& light, std::size_t most_cells = 100'000)
        : sheet_(level_sheet({-4.0f, -4.0f, 0.0f}, {8.0f, 8.0f}, {64, 64}, 1.0f)),
          geometry_({&sheet_}),
          cells_(irradiance_cache(geometry_, {0.0f, -14.0f, 2.0f})),
          coarse_(cells_.position_m.size()) {
        std::vector<LumenIrradiance> lamps{lamp_on(cells_, light)};
        const std::vector<LumenIrradiance> far{lamp_on(cells_.far, light)};
        const LightMixture mixture(geometry_, cells_, lamps);
        refine_to_vertices(geometry_, mixture, lamps, far, most_cells, cells_);
        after_vertices_ = cells_.position_m.size();
        lamps = {lamp_on(cells_, light)};
        refine_triangles(geometry_, mixture, lamps, most_cells, cells_);
        lamp_ = lamp_on(cells_, light);
    }

    const IrradianceCache& cells() const { return cells_; }
    const Mesh& mesh() const { return sheet_; }
    std::size_t coarse() const { return coarse_; }
    std::size_t vertices() const { return after_vertices_ - coarse_; }
    std::size_t triangles() const {
        return (cells_.position_m.size() - after_vertices_) / IrradianceCache::cells_of_triangle;
    }

    /// What a gathering ray that hits there is told.
    float light_at(std::uint32_t triangle, float u, float v) const {
        const auto [cell, share] = cells_.at(0, triangle, sheet_.triangles[triangle], u, v);
        return share[0] * lamp_[cell[0]] + share[1] * lamp_[cell[1]] + share[2] * lamp_[cell[2]];
    }

private:
    Mesh sheet_;
    Geometry geometry_;
    IrradianceCache cells_;
    std::size_t coarse_;
    std::size_t after_vertices_ = 0;
    LumenIrradiance lamp_;
};

float half_lit(const glm::vec3& p) {
    return p.x + 0.3f * p.y < 0.17f ? 5.0f : 0.0f;
}

}  // namespace

TEST_CASE("even light needs no finer cells") {
    const Floor floor([](const glm::vec3& p) { return 5.0f + 0.1f * p.x; });
    CHECK(floor.cells().position_m.size() == floor.coarse());
    CHECK(floor.cells().blend_of_fine.empty());
}

TEST_CASE("the edge of a shadow gets finer cells, and only the edge") {
    const Floor floor(half_lit);
    REQUIRE(floor.triangles() > 64);
    CHECK(floor.cells().coarse_cells() == floor.coarse());
    for (std::uint32_t t = 0; t < floor.mesh().triangles.size(); ++t) {
        const glm::vec3 p = floor.mesh().positions[floor.mesh().triangles[t][0]];
        const float off_m = std::abs(p.x + 0.3f * p.y - 0.17f);
        const bool fine = floor.cells().first_of_triangle[0][t] != IrradianceCache::none;
        if (off_m > 0.4f) CHECK_FALSE(fine);
    }
    // Of the whole floor's light the blur leaves next to nothing wrong.
    double found = 0.0, expected = 0.0, worst = 0.0;
    constexpr int steps = 6;
    for (std::uint32_t t = 0; t < floor.mesh().triangles.size(); ++t)
        for (int i = 0; i < steps; ++i)
            for (int j = 0; i + j < steps; ++j) {
                const float u = (static_cast<float>(i) + 0.33f) / steps,
                            v = (static_cast<float>(j) + 0.33f) / steps;
                const auto& [a, b, c] = floor.mesh().triangles[t];
                const auto& p = floor.mesh().positions;
                const glm::vec3 point_m = (1.0f - u - v) * p[a] + u * p[b] + v * p[c];
                const float light = floor.light_at(t, u, v);
                found += static_cast<double>(light);
                expected += static_cast<double>(half_lit(point_m));
                if (std::abs(point_m.x + 0.3f * point_m.y - 0.17f) > 0.06f)
                    worst =
                        std::max(worst, std::abs(static_cast<double>(light - half_lit(point_m))));
            }
    CHECK_RELATIVE(found, expected, 2e-3);
    CHECK(worst < 1e-3);
}

TEST_CASE("finer cells keep to their budget, and the largest stakes come first") {
    // A bright edge and one a hundred times dimmer.
    const LightAt two_edges = [](const glm::vec3& p) {
        return p.x < -1.0f ? 100.0f : p.x < 1.0f ? 1.0f : 0.0f;
    };
    constexpr std::size_t most = 60 * IrradianceCache::cells_of_triangle;
    const Floor floor(two_edges, most);
    CHECK(floor.vertices() <= most);
    CHECK(floor.triangles() == 60);
    for (std::uint32_t t = 0; t < floor.mesh().triangles.size(); ++t)
        if (floor.cells().first_of_triangle[0][t] != IrradianceCache::none)
            CHECK(floor.mesh().positions[floor.mesh().triangles[t][0]].x < 0.0f);
}

// Its own cells lie a tenth of the way from the sides to the middle of a triangle.
TEST_CASE("a blend of a triangle's own cells is exact for what is linear") {
    const Floor floor(half_lit);
    const IrradianceCache& cells = floor.cells();
    for (std::uint32_t t = 0; t < floor.mesh().triangles.size(); ++t) {
        if (cells.first_of_triangle[0][t] == IrradianceCache::none) continue;
        const auto& corners = floor.mesh().triangles[t];
        const auto& p = floor.mesh().positions;
        const glm::vec3 middle_m = (p[corners[0]] + p[corners[1]] + p[corners[2]]) / 3.0f;
        for (float u = 0.0f; u <= 1.0f; u += 0.0625f)
            for (float v = 0.0f; u + v <= 1.0f; v += 0.0625f) {
                const auto [cell, share] = cells.at(0, t, corners, u, v);
                glm::vec3 blend_m(0.0f);
                for (std::size_t k = 0; k < 3; ++k) {
                    REQUIRE(share[k] >= -1e-5f);
                    blend_m += share[k] * cells.position_m[cell[k]];
                }
                const glm::vec3 point_m =
                    (1.0f - u - v) * p[corners[0]] + u * p[corners[1]] + v * p[corners[2]];
                REQUIRE(glm::distance(blend_m, middle_m + 0.9f * (point_m - middle_m)) < 1e-4f);
            }
        return;
    }
    FAIL("no triangle has cells of its own");
}
