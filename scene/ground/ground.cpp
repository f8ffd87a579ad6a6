#include "scene/ground/ground.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

#include <tbb/parallel_for.h>
#include <tbb/parallel_invoke.h>

#include "scene/basics/angle.h"
#include "scene/basics/noise.h"
#include "scene/ground/scree.h"

namespace lampflight {

namespace {

// The mesh is a disc of rings. The inner ones hold six more vertices each, which keeps the spacing;
// the outer ones hold equally many and lie ever further apart.
constexpr double fine_spacing_m = 0.06;
constexpr int fine_rings = 96;
constexpr int ring_vertices = 6 * fine_rings;
constexpr double fine_radius_m = fine_spacing_m * fine_rings;
constexpr double edge_m = 20000.0;

/// Distance between rings at a distance from the middle: 1 % of it at first, 9 % further out, and
/// 3 % where the hills rise, whose slopes coarse rings would cut into terraces.
double spacing_m(double from_middle_m) {
    if (from_middle_m <= fine_radius_m) return fine_spacing_m;
    constexpr double near_share = 1.0 / fine_rings, far_share = 0.09, hill_share = 0.03;
    const double far = std::log(from_middle_m);
    const double far_out = smooth_step(std::log(10.0), std::log(300.0), far);
    const double on_hills = smooth_step(std::log(1000.0), std::log(1600.0), far) *
                            (1.0 - smooth_step(std::log(7000.0), std::log(14000.0), far));
    return from_middle_m *
           (near_share + (far_share - near_share) * far_out - (far_share - hill_share) * on_hills);
}

// A stance fits into the level part; outside the edge nothing is changed.
constexpr double trodden_level_m = 0.38, trodden_edge_m = 0.9;

/// A part of the relief: gradient noise of this wavelength and share of the rms.
struct Octave {
    double wavelength_m;
    double share;
};

// Broad swells and a little crumpling. Between half a metre and two the ground is calm: strong
// waves there look like cloth, while stones are `add_scree`'s.
constexpr std::array<Octave, 6> octaves{
    {{9.7, 0.60}, {4.6, 0.50}, {2.1, 0.18}, {1.0, 0.09}, {0.47, 0.09}, {0.24, 0.08}}};

/// Relief of rms 1 about the middle; parts that the spacing can't hold fade out.
double relief(const Vec2& place_m, double spacing, std::uint32_t seed) {
    double sum = 0.0, squares = 0.0;
    for (std::size_t i = 0; i < octaves.size(); ++i) {
        const auto [wavelength_m, share] = octaves[i];
        squares += share * share;
        const double held = smooth_step(2.5, 4.0, wavelength_m / spacing);
        if (held <= 0.0) continue;
        sum += held * share *
               gradient_noise(place_m / wavelength_m, seed + static_cast<std::uint32_t>(i));
    }
    return sum / std::sqrt(squares);
}

/// The relief in metres, trodden level where someone stands.
double relief_m(const Terrain& terrain, const Vec2& place_m, double spacing, std::uint32_t seed) {
    double height = relief(place_m, spacing, seed);
    for (const Vec2& stand_m : terrain.trodden_m) {
        const double off_m = glm::distance(place_m, stand_m);
        if (off_m < trodden_edge_m)
            height = std::lerp(height, relief(stand_m, spacing, seed),
                               smooth_step(trodden_edge_m, trodden_level_m, off_m));
    }
    return terrain.ground.roughness_m * height;
}

/// Rise and fall of the country, from some tens of metres off; never near eye height close by.
double undulation_m(const Vec2& place_m, double from_middle_m, std::uint32_t seed) {
    const double swing_m = std::min(0.4, 0.004 * std::max(0.0, from_middle_m - 20.0));
    if (swing_m <= 0.0) return 0.0;
    const double held = smooth_step(2.5, 4.0, 60.0 / spacing_m(from_middle_m));
    return swing_m * (0.6 * gradient_noise(place_m / 260.0, seed + 31u) +
                      (held > 0.0 ? 0.4 * held * gradient_noise(place_m / 60.0, seed + 32u) : 0.0));
}

/// Ridged sum in [0, 1]: crests where the noise crosses zero. Octaves that the spacing can't hold
/// give way to their mean, 0.454 (counted).
double ridges(const Vec2& place_m, double wavelength_m, double spacing, std::uint32_t seed) {
    double sum = 0.0, total = 0.0, strength = 1.0;
    for (std::uint32_t octave = 0; octave < 4; ++octave) {
        constexpr double mean = 0.454;
        const double held = smooth_step(2.5, 4.0, wavelength_m / spacing);
        double part = mean;
        if (held > 0.0) {
            const double slant = gradient_noise(place_m / wavelength_m, seed + octave) / 2.0;
            const double crest = 1.0 - std::min(1.0, std::abs(slant));
            part += held * (crest * crest - mean);
        }
        sum += strength * part;
        total += strength;
        strength *= 0.45;
        wavelength_m *= 0.47;
    }
    return sum / total;
}

/// Hills from 1.5 km outwards; their height by place leaves notches down to a fifth.
double hills_m(const Vec2& place_m, double from_middle_m, double height_m, std::uint32_t seed) {
    const double rise = smooth_step(1500.0, 5000.0, from_middle_m);
    if (height_m <= 0.0 || rise <= 0.0) return 0.0;
    const double broad = 0.5 + 0.3 * gradient_noise(place_m / 3800.0, seed + 41u);
    return height_m * rise * std::clamp(broad, 0.15, 1.0) *
           (0.3 + 0.9 * ridges(place_m, 1900.0, spacing_m(from_middle_m), seed + 51u));
}

std::vector<double> ring_radii_m() {
    std::vector<double> radii;
    for (int ring = 0; ring <= fine_rings; ++ring) radii.push_back(fine_spacing_m * ring);
    while (radii.back() < edge_m)
        radii.push_back(std::min(edge_m, radii.back() + spacing_m(radii.back())));
    return radii;
}

void add_disc_triangles(Mesh& mesh) {
    std::uint32_t inner = 0, outer = 1;  // first vertices of neighbouring rings
    for (std::uint32_t ring = 0; ring < fine_rings; ++ring) {
        const std::uint32_t inner_count = std::max(1u, 6 * ring), outer_count = 6 * (ring + 1);
        for (std::uint32_t sector = 0; sector < 6; ++sector)
            for (std::uint32_t j = 0; j <= ring; ++j) {
                const std::uint32_t a = inner + (sector * ring + j) % inner_count;
                const std::uint32_t b = outer + sector * (ring + 1) + j;
                const std::uint32_t c = outer + (sector * (ring + 1) + j + 1) % outer_count;
                mesh.triangles.push_back({a, b, c});
                if (j < ring)
                    mesh.triangles.push_back({a, c, inner + (sector * ring + j + 1) % inner_count});
            }
        inner = outer;
        outer += outer_count;
    }
}

/// Beyond the fine disc a ring comes in parts of this many steps, whole or reduced to the first.
constexpr int part_steps = 8;

/// Height of the middle of what the ground may hold at a distance, and how far it goes from there.
struct Rise {
    double middle_m, reach_m;
};

Rise rise_at(const Ground& ground, double from_middle_m) {
    const double half_hills_m =
        0.6 * ground.far_hills_m * smooth_step(1500.0, 5000.0, from_middle_m);
    const double swell_m = 4.0 * ground.roughness_m + std::min(1.2, 0.02 * from_middle_m);
    return {half_hills_m, half_hills_m + swell_m};
}

/// Light and shadows come into the picture from nearly as far off as this.
constexpr double margin_m = 1.0;

struct Ring {
    std::uint32_t first;     ///< vertex
    double offset;           ///< of step 0 from the bearing of all rings, in steps
    std::vector<int> steps;  ///< where it has vertices, rising, of `ring_vertices`
};

class RingMaker {
public:
    RingMaker(const Terrain& terrain, const std::optional<ViewFrustum>& view)
        : terrain_(terrain), view_(view) {}

    /// A ring beyond the fine disc's.
    Ring ring(std::uint32_t first, double radius_m, double offset) const {
        Ring made{first, offset, {}};
        for (int from = 0; from < ring_vertices; from += part_steps) {
            const int end = is_seen(radius_m, from + offset) ? from + part_steps : from + 1;
            for (int step = from; step < end; ++step) made.steps.push_back(step);
        }
        return made;
    }

    Vec2 place_m(double radius_m, double turn) const {
        return terrain_.middle_m + radius_m * Vec2(std::cos(turn), std::sin(turn));
    }

private:
    bool is_seen(double radius_m, double from_step) const {
        if (!view_) return true;
        const auto [height_m, rise_m] = rise_at(terrain_.ground, radius_m);
        constexpr double half_rad = pi * part_steps / ring_vertices;
        const double turn_rad = 2.0 * pi * from_step / ring_vertices + half_rad;
        return reaches_into(*view_, Vec3(place_m(radius_m, turn_rad), height_m),
                            margin_m + rise_m + half_rad * radius_m + spacing_m(radius_m));
    }

    const Terrain& terrain_;
    const std::optional<ViewFrustum>& view_;
};

/// Joins neighbouring rings: whichever's next vertex comes first round the circle makes the next
/// triangle.
void add_band_triangles(Mesh& mesh, const Ring& inner, const Ring& outer) {
    const auto vertex = [](const Ring& ring, std::size_t i) {
        return ring.first + static_cast<std::uint32_t>(i % ring.steps.size());
    };
    const auto angle = [](const Ring& ring, std::size_t i) {
        const std::size_t count = ring.steps.size();
        return ring.offset + (i < count ? ring.steps[i] : ring.steps[i - count] + ring_vertices);
    };
    std::size_t i = 0, o = 0;
    while (i < inner.steps.size() || o < outer.steps.size()) {
        const bool outer_next = angle(outer, o + 1) < angle(inner, i + 1);
        const std::uint32_t a = vertex(inner, i), b = vertex(outer, o);
        if (outer_next)
            mesh.triangles.push_back({a, b, vertex(outer, ++o)});
        else
            mesh.triangles.push_back({a, b, vertex(inner, ++i)});
    }
}

/// Positions at height zero. Every second outer ring is turned by half a step, which keeps the
/// triangles near to equilateral and leaves no spokes in the relief.
void add_rings(Mesh& mesh, const RingMaker& maker) {
    const auto add = [&](double radius_m, double share) {
        mesh.positions.emplace_back(glm::vec2(maker.place_m(radius_m, 2.0 * pi * share)), 0.0f);
    };
    const std::vector<double> radii = ring_radii_m();
    for (int ring = 0; ring <= fine_rings; ++ring)
        for (int j = 0, count = std::max(1, 6 * ring); j < count; ++j)
            add(radii[static_cast<std::size_t>(ring)], static_cast<double>(j) / count);
    add_disc_triangles(mesh);
    Ring inner{1 + 3 * fine_rings * (fine_rings - 1), 0.0, std::vector<int>(ring_vertices)};
    std::iota(inner.steps.begin(), inner.steps.end(), 0);
    for (std::size_t ring = fine_rings + 1; ring < radii.size(); ++ring) {
        const double offset = (ring - fine_rings) % 2 == 1 ? 0.5 : 0.0;
        Ring outer =
            maker.ring(static_cast<std::uint32_t>(mesh.positions.size()), radii[ring], offset);
        for (const int step : outer.steps) add(radii[ring], (step + offset) / ring_vertices);
        add_band_triangles(mesh, inner, outer);
        inner = std::move(outer);
    }
}

/// Normals weighted by area: on this even grid as good as by angle, and much cheaper.
void add_normals(Mesh& mesh) {
    mesh.normals.assign(mesh.positions.size(), glm::vec3(0.0f));
    for (const auto& [a, b, c] : mesh.triangles) {
        const glm::vec3 face = glm::cross(mesh.positions[b] - mesh.positions[a],
                                          mesh.positions[c] - mesh.positions[a]);
        for (const std::uint32_t corner : {a, b, c}) mesh.normals[corner] += face;
    }
    for (glm::vec3& normal : mesh.normals) normal = glm::normalize(normal);
}

/// Brings level soil to its heights.
void raise(Mesh& mesh, const Terrain& terrain) {
    tbb::parallel_for(std::size_t{0}, mesh.positions.size(), [&](std::size_t i) {
        glm::vec3& p = mesh.positions[i];
        p.z = static_cast<float>(ground_height_m(terrain, {p.x, p.y}));
    });
}

/// Adds the surface of a mesh that has the same materials and more.
void append(Mesh& mesh, const Mesh& more) {
    const auto first = static_cast<std::uint32_t>(mesh.positions.size());
    const auto add = [](auto& to, const auto& from) {
        to.insert(to.end(), from.begin(), from.end());
    };
    add(mesh.positions, more.positions);
    add(mesh.normals, more.normals);
    add(mesh.material_of, more.material_of);
    for (const auto& [a, b, c] : more.triangles)
        mesh.triangles.push_back({first + a, first + b, first + c});
}

}  // namespace

double ground_height_m(const Terrain& terrain, const Vec2& place_m) {
    const Ground& ground = terrain.ground;
    if (ground.kind == GroundKind::flat) return 0.0;
    const auto seed = static_cast<std::uint32_t>(ground.seed) * 977u;
    const double from_middle_m = glm::distance(place_m, terrain.middle_m);
    return relief_m(terrain, place_m, spacing_m(from_middle_m), seed) +
           undulation_m(place_m, from_middle_m, seed) +
           hills_m(place_m, from_middle_m, ground.far_hills_m, seed);
}

Mesh ground_mesh(const Terrain& terrain, const std::optional<ViewFrustum>& view) {
    const Ground& ground = terrain.ground;
    Mesh mesh;
    mesh.positions.reserve(300000);
    mesh.triangles.reserve(540000);
    add_rings(mesh, RingMaker(terrain, view));
    const bool flat = ground.kind == GroundKind::flat;
    mesh.materials = {{ground.reflectance, flat ? SurfaceRelief::none : SurfaceRelief::soil}};
    mesh.material_of.assign(mesh.triangles.size(), 0);
    if (flat) {
        mesh.normals.assign(mesh.positions.size(), glm::vec3(0.0f, 0.0f, 1.0f));
        return mesh;
    }
    Mesh stones;
    stones.materials = mesh.materials;
    tbb::parallel_invoke(
        [&] {
            raise(mesh, terrain);
            add_normals(mesh);
        },
        [&] { add_scree(stones, terrain, view); });
    append(mesh, stones);
    mesh.materials = std::move(stones.materials);
    return mesh;
}

}  // namespace lampflight
