#include "scene/ground/scree.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "scene/basics/angle.h"
#include "scene/basics/noise.h"

namespace lampflight {

namespace {

/// Numbers in [0, 1) drawn one after the other for one stone.
class Draw {
public:
    Draw(std::int32_t x, std::int32_t y, std::uint32_t seed) : x_(x), y_(y), seed_(seed) {}

    double share() { return hash_share(x_, y_, next_++, seed_); }
    double between(double low, double high) { return low + (high - low) * share(); }

    std::size_t pick(std::size_t count) {
        return std::min(count - 1, static_cast<std::size_t>(share() * static_cast<double>(count)));
    }

    Vec3 direction() {
        const double z = between(-1.0, 1.0), angle_rad = between(0.0, 2.0 * pi);
        const double r = std::sqrt(1.0 - z * z);
        return {r * std::cos(angle_rad), r * std::sin(angle_rad), z};
    }

private:
    std::int32_t x_, y_, next_ = 0;
    std::uint32_t seed_;
};

/// A break face of a stone: a convex polygon, anticlockwise seen from outside.
using Face = std::vector<Vec3>;

struct Plane {
    Vec3 outward;
    double distance;
};

/// What the other planes leave of a plane: the corners where three meet inside all.
Face face_between(const std::vector<Plane>& planes, std::size_t of) {
    Face corners;
    const auto [n, h] = planes[of];
    for (std::size_t j = 0; j < planes.size(); ++j)
        for (std::size_t k = j + 1; k < planes.size(); ++k) {
            if (j == of || k == of) continue;
            const Vec3 across = glm::cross(planes[j].outward, planes[k].outward);
            const double volume = glm::dot(n, across);
            if (std::abs(volume) < 1e-6) continue;
            const Vec3 at = (h * across + planes[j].distance * glm::cross(planes[k].outward, n) +
                             planes[k].distance * glm::cross(n, planes[j].outward)) /
                            volume;
            if (std::all_of(planes.begin(), planes.end(), [&](const Plane& plane) {
                    return glm::dot(plane.outward, at) <= plane.distance + 1e-9;
                }))
                corners.push_back(at);
        }
    if (corners.size() < 3) return {};
    Vec3 middle(0.0);
    for (const Vec3& corner : corners) middle += corner / static_cast<double>(corners.size());
    const Vec3 right = glm::normalize(corners[0] - middle), up = glm::cross(n, right);
    const auto angle_rad = [&](const Vec3& corner) {
        return std::atan2(glm::dot(corner - middle, up), glm::dot(corner - middle, right));
    };
    std::sort(corners.begin(), corners.end(),
              [&](const Vec3& a, const Vec3& b) { return angle_rad(a) < angle_rad(b); });
    return corners;
}

/// A stone as it breaks: a skewed block with corners and edges struck off by `cuts` planes,
/// flattened; the furthest corner is 1 from the middle.
std::vector<Face> broken_stone(int cuts, std::int32_t number) {
    Draw draw(number, cuts, 4021u);
    std::vector<Plane> planes;
    for (int axis = 0; axis < 3; ++axis)
        for (const double side : {-1.0, 1.0}) {
            Vec3 outward(0.0);
            outward[axis] = side;
            planes.push_back(
                {glm::normalize(outward + 0.42 * draw.direction()), draw.between(0.8, 1.1)});
        }
    for (int cut = 0; cut < cuts; ++cut)
        planes.push_back({draw.direction(), draw.between(0.82, 1.18)});
    const Vec3 shape(1.0, draw.between(0.65, 0.95), draw.between(0.5, 0.9));
    std::vector<Face> faces;
    double furthest = 0.0;
    for (std::size_t i = 0; i < planes.size(); ++i) {
        Face face = face_between(planes, i);
        for (Vec3& corner : face) {
            corner *= shape;
            furthest = std::max(furthest, glm::length(corner));
        }
        if (!face.empty()) faces.push_back(std::move(face));
    }
    for (Face& face : faces)
        for (Vec3& corner : face) corner /= furthest;
    return faces;
}

constexpr double usual_roughness_m = 0.05;
constexpr std::size_t shapes_a_kind = 8;
using Shapes = std::array<std::vector<Face>, shapes_a_kind>;

Shapes broken_stones(int cuts) {
    Shapes shapes;
    for (std::size_t i = 0; i < shapes_a_kind; ++i)
        shapes[i] = broken_stone(cuts, static_cast<std::int32_t>(i));
    return shapes;
}

/// Stones of one range of sizes, at most one in each cell of a grid. Counts and sizes by eye from
/// quarry floors, no source.
struct Sort {
    double smallest_m, largest_m;  ///< across
    double cell_m;
    double share;      ///< of cells that hold a stone where it is stony
    double full_m;     ///< as many as that up to here from the middle
    double reach_m;    ///< none beyond
    double highest_m;  ///< above the soil
    double liking;     ///< for stony patches, 0: lies anywhere
    int cuts;
};

constexpr std::array<Sort, 3> sorts{{
    {0.18, 0.40, 1.7, 0.20, 16.0, scree_reach_m, 0.17, 0.6, 12},
    {0.09, 0.18, 0.42, 0.50, 14.5, 26.0, 0.12, 0.9, 5},
    {0.038, 0.090, 0.172, 0.60, 13.5, 17.0, 0.07, 1.0, 1},
}};
constexpr std::size_t chip_sort = 2;

// Weathered and fresh, iron-stained and grey: factors on the ground's reflectance.
constexpr std::array<Rgb, 6> tones{{{0.78, 0.79, 0.82},
                                    {0.95, 0.96, 0.99},
                                    {1.12, 1.11, 1.09},
                                    {1.25, 1.19, 1.10},
                                    {1.45, 1.44, 1.42},
                                    {1.00, 0.91, 0.80}}};

/// Heights that a face must reach to be seen: any face, and one that looks down.
struct Bedding {
    double buried_m, rim_m;
};

struct Placed {
    Vec2 place_m;
    double across_m;
};

class Scree {
public:
    Scree(Mesh& mesh, const Terrain& terrain, const std::optional<ViewFrustum>& view)
        : mesh_(mesh),
          terrain_(terrain),
          ground_(terrain.ground),
          view_(view),
          seed_(static_cast<std::uint32_t>(ground_.seed) * 977u + 131u),
          size_(std::clamp(std::sqrt(ground_.roughness_m / usual_roughness_m), 0.4, 1.25)),
          much_(std::min(1.0, ground_.roughness_m / usual_roughness_m) /
                std::pow(std::max(1.0, size_), 2.0)),
          first_material_(static_cast<std::uint16_t>(mesh.materials.size())),
          most_triangles_(mesh.triangles.size() + most_scree_triangles) {
        for (const Rgb& tone : tones)
            mesh.materials.push_back(
                {glm::min(tone * ground_.reflectance, Rgb(1.0)), SurfaceRelief::stone});
        for (std::size_t i = 0; i < sorts.size(); ++i) shapes_[i] = broken_stones(sorts[i].cuts);
    }

    /// Large ones first: should the triangles run out, small ones are missing.
    void strew() {
        for (std::size_t i = 0; i < sorts.size(); ++i) strew_sort(i);
    }

private:
    void strew_sort(std::size_t number) {
        const Sort& sort = sorts[number];
        const glm::ivec2 first(glm::floor((terrain_.middle_m - sort.reach_m) / sort.cell_m));
        const glm::ivec2 last(glm::floor((terrain_.middle_m + sort.reach_m) / sort.cell_m));
        const std::uint32_t seed = seed_ + 7u * static_cast<std::uint32_t>(number);
        for (int y = first.y; y <= last.y; ++y)
            for (int x = first.x; x <= last.x; ++x) {
                Draw draw(x, y, seed);
                const double lot = draw.share();
                if (lot >= much_ * sort.share) continue;
                const Vec2 place_m = sort.cell_m * Vec2(x + draw.share(), y + draw.share());
                if (is_out_of_view(sort, place_m)) continue;
                const double near = 1.0 - smooth_step(sort.full_m, sort.reach_m - 1.0,
                                                      glm::distance(place_m, terrain_.middle_m));
                const double thinned = near * near;
                if (thinned <= 0.0 || lot >= much_ * sort.share * thinned * like(sort, place_m))
                    continue;
                // By far most are near the smallest size.
                const double part = draw.share();
                const double across_m =
                    size_ * sort.smallest_m *
                    std::pow(sort.largest_m / sort.smallest_m, part * std::sqrt(part));
                if (is_trodden({place_m, across_m})) continue;
                lay(number, {place_m, across_m}, draw);
                if (number < chip_sort) lay_chips({place_m, across_m}, draw);
            }
    }

    /// Light from a few degrees above the ground draws shadows some times as long as the stones.
    bool is_out_of_view(const Sort& sort, const Vec2& place_m) const {
        const double reach_m = 1.0 + 6.0 * size_ * sort.largest_m;
        return view_ && !reaches_into(*view_, Vec3(place_m, 0.0), reach_m);
    }

    /// How stony it is there, 0 to 1: gravel in patches, bare soil between.
    double like(const Sort& sort, const Vec2& place_m) const {
        const double patch = 0.75 * gradient_noise(place_m / 4.3, seed_ + 61u) +
                             0.6 * gradient_noise(place_m / 1.3, seed_ + 62u);
        return 1.0 - sort.liking * (1.0 - smooth_step(-0.7, 1.1, patch));
    }

    /// Whether a foot would strike it: half a metre about each stance is free.
    bool is_trodden(const Placed& stone) const {
        return std::ranges::any_of(terrain_.trodden_m, [&](const Vec2& at) {
            return glm::distance(at, stone.place_m) < 0.5 + 0.5 * stone.across_m;
        });
    }

    /// What broke off a larger stone lies about it.
    void lay_chips(const Placed& stone, Draw& draw) {
        const auto count = static_cast<int>(draw.between(0.0, 16.0 * stone.across_m));
        for (int chip = 0; chip < count; ++chip) {
            const double angle_rad = draw.between(0.0, 2.0 * pi);
            const double off_m = stone.across_m * (0.45 + 1.3 * std::pow(draw.share(), 1.5));
            const double across_m = std::min(0.4 * stone.across_m, draw.between(0.03, 0.08));
            const Placed at{stone.place_m + off_m * Vec2(std::cos(angle_rad), std::sin(angle_rad)),
                            across_m};
            if (!is_trodden(at)) lay(chip_sort, at, draw);
        }
    }

    void lay(std::size_t number, const Placed& stone, Draw& draw) {
        const std::vector<Face>& faces = shapes_[number][draw.pick(shapes_a_kind)];
        const double lean = draw.share(), tilt_rad = 0.6 * lean * lean * lean + 0.12 * draw.share();
        const double yaw_rad = draw.between(0.0, 2.0 * pi), way_rad = draw.between(0.0, 2.0 * pi);
        const glm::dmat3 turn = turned(way_rad, tilt_rad, yaw_rad, 0.5 * stone.across_m);
        double top_m = 0.0;
        for (const Face& face : faces)
            for (const Vec3& corner : face) top_m = std::max(top_m, (turn * corner).z);
        const double sunk = draw.between(-0.4, 0.35);
        const double soil_m = ground_height_m(terrain_, stone.place_m);
        const double middle_z_m =
            soil_m + std::min(sunk * top_m, size_ * sorts[number].highest_m - top_m);
        const auto material = static_cast<std::uint16_t>(first_material_ + draw.pick(tones.size()));
        // The soil seldom falls by more than this within a stone's half width.
        const double fall = 0.06 * std::max(1.0, ground_.roughness_m / usual_roughness_m);
        const Bedding bedding{soil_m - fall * stone.across_m - 0.003,
                              soil_m + 0.03 * stone.across_m};
        for (const Face& face : faces)
            add_face(face, turn, Vec3(stone.place_m, middle_z_m), bedding, material);
    }

    /// About the upright by yaw, then tilted about a level axis, and scaled.
    static glm::dmat3 turned(double way_rad, double tilt_rad, double yaw_rad, double scale) {
        const auto upright = [](double rad) {
            const double c = std::cos(rad), s = std::sin(rad);
            return glm::dmat3(c, s, 0.0, -s, c, 0.0, 0.0, 0.0, 1.0);
        };
        const double c = std::cos(tilt_rad), s = std::sin(tilt_rad);
        const glm::dmat3 tilt(1.0, 0.0, 0.0, 0.0, c, s, 0.0, -s, c);
        return scale * (upright(way_rad) * tilt * upright(yaw_rad));
    }

    /// Faces keep corners of their own, whose normals lean a little outwards: the edge reads, but
    /// worn. Starts at the highest corner, so that a light cell is seldom stood for by a buried
    /// one.
    void add_face(const Face& face, const glm::dmat3& turn, const Vec3& middle_m,
                  const Bedding& bedding, std::uint16_t material) {
        if (mesh_.triangles.size() + face.size() - 2 > most_triangles_) return;
        placed_.clear();
        for (const Vec3& corner : face) placed_.push_back(middle_m + turn * corner);
        const auto higher = [](const Vec3& a, const Vec3& b) { return a.z < b.z; };
        const auto highest = std::max_element(placed_.begin(), placed_.end(), higher);
        const double highest_m = highest->z;
        std::rotate(placed_.begin(), highest, placed_.end());
        Vec3 outward(0.0);
        for (std::size_t i = 2; i < placed_.size(); ++i)
            outward += glm::cross(placed_[i - 1] - placed_[0], placed_[i] - placed_[0]);
        outward = glm::normalize(outward);
        // Undersides are left out where at most their rim would show.
        if (highest_m < (outward.z < -0.35 ? bedding.rim_m : bedding.buried_m)) return;
        const auto first = static_cast<std::uint32_t>(mesh_.positions.size());
        for (const Vec3& corner : placed_) {
            mesh_.positions.emplace_back(corner);
            mesh_.normals.emplace_back(
                glm::normalize(outward + 0.3 * glm::normalize(corner - middle_m)));
        }
        for (std::uint32_t i = 2; i < placed_.size(); ++i) {
            mesh_.triangles.push_back({first, first + i - 1, first + i});
            mesh_.material_of.push_back(material);
        }
    }

    Mesh& mesh_;
    const Terrain& terrain_;
    const Ground& ground_;
    const std::optional<ViewFrustum>& view_;
    std::uint32_t seed_;
    double size_, much_;  ///< factors on the sizes and on how many
    std::uint16_t first_material_;
    std::size_t most_triangles_;
    std::array<Shapes, sorts.size()> shapes_;
    std::vector<Vec3> placed_;
};

}  // namespace

void add_scree(Mesh& mesh, const Terrain& terrain, const std::optional<ViewFrustum>& view) {
    if (terrain.ground.kind == GroundKind::flat || terrain.ground.roughness_m <= 0.0) return;
    Scree(mesh, terrain, view).strew();
}

}  // namespace lampflight
