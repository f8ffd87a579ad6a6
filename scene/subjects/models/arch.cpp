#include <array>
#include <cmath>

#include "scene/basics/angle.h"
#include "scene/basics/noise.h"
#include "scene/subjects/models/models.h"
#include "scene/subjects/models/stone.h"
#include "scene/subjects/normals.h"

namespace lampflight {

namespace {

// The opening: two piers and an arch struck from two centres, which gives it a slight point.
constexpr double half_opening_m = 1.2;
constexpr double springing_m = 2.22;
constexpr double intrados_m = 1.38;
constexpr double off_centre_m = intrados_m - half_opening_m;
constexpr double ring_m = 0.42;
constexpr double half_thickness_m = 0.32;
constexpr int voussoirs = 9;  // a side

enum class Side { left, right };

/// Makes the stones one by one, each with a number that seeds its irregularities.
class Mason {
public:
    Mesh mesh;

    Mason() {
        // Warm greys of one quarry; the last is stained dark by water.
        mesh.materials = {{Rgb{0.330, 0.304, 0.262}, SurfaceRelief::stone},
                          {Rgb{0.285, 0.270, 0.246}, SurfaceRelief::stone},
                          {Rgb{0.370, 0.335, 0.280}, SurfaceRelief::stone},
                          {Rgb{0.260, 0.234, 0.200}, SurfaceRelief::stone},
                          {Rgb{0.205, 0.196, 0.182}, SurfaceRelief::stone}};
    }

    double share() { return hash_share(++drawn_, 0, 0, 5u); }
    double between(double low, double high) { return low + (high - low) * share(); }

    /// Lays a stone given by its outline in elevation (x, z; anticlockwise from the lower left as
    /// seen from the south) and its extent in depth.
    void lay(const std::array<Vec2, 4>& outline, double front_y, double back_y, double wear) {
        Stone stone;
        for (std::size_t k = 0; k < 4; ++k) {
            stone.corners[k] = {outline[k].x, front_y, outline[k].y};
            stone.corners[k + 4] = {outline[k].x, back_y, outline[k].y};
        }
        add(stone, wear);
    }

    void add(Stone stone, double wear) {
        stone.seed = static_cast<std::uint32_t>(++stones_);
        stone.edge_m = between(0.018, 0.034) * (1.0 + wear);
        stone.unevenness_m = between(0.0045, 0.0085) * (1.0 + 1.2 * wear);
        const double tone = share();
        stone.material = static_cast<std::uint16_t>(tone < 0.3    ? 0
                                                    : tone < 0.58 ? 1
                                                    : tone < 0.78 ? 2
                                                    : tone < 0.93 ? 3
                                                                  : 4);
        add_stone(mesh, stone);
    }

private:
    std::int32_t drawn_ = 0;
    std::int32_t stones_ = 0;
};

/// x of the outer edge of the ring at a height, on the left; the jamb below the springing.
double extrados_x_m(double z) {
    if (z <= springing_m) return -half_opening_m;
    const double radius = intrados_m + ring_m, rise = z - springing_m;
    if (rise >= radius) return 0.0;
    return std::min(0.0, off_centre_m - std::sqrt(radius * radius - rise * rise));
}

/// Stones of one wythe between two edges that may lean, by courses' random lengths.
void lay_row(Mason& mason, double z0, double z1, Vec2 from_x, Vec2 to_x, double front_y,
             double back_y, double wear) {
    const double length = 0.5 * (to_x.x + to_x.y - from_x.x - from_x.y);
    if (length < 0.12) return;
    const int count =
        std::max(1, static_cast<int>(std::lround(length / mason.between(0.40, 0.62))));
    const double shortest = std::min(to_x.x, to_x.y) - std::max(from_x.x, from_x.y);
    Vec2 left = from_x;
    for (int i = 1; i <= count; ++i) {
        // Joints are upright; only the ends of the row lean.
        const double t = (i + mason.between(-0.2, 0.2)) / count;
        const Vec2 right =
            i == count ? to_x : Vec2(std::max(from_x.x, from_x.y) + t * std::max(0.1, shortest));
        const double proud = mason.between(-0.016, 0.016);
        const bool outside_front = front_y < 0.0;
        mason.lay({{{left.x, z0}, {right.x, z0}, {right.y, z1}, {left.y, z1}}},
                  front_y + (outside_front ? proud : 0.0), back_y + (outside_front ? 0.0 : proud),
                  wear);
        left = right;
    }
}

/// A course through the wall's thickness: two wythes whose joint wanders, or through stones.
void lay_course(Mason& mason, double z0, double z1, const Vec2& from_x, const Vec2& to_x,
                double wear) {
    const double joint_y = mason.between(-0.10, 0.10);
    const double length = to_x.x - from_x.x;
    if (length < 0.62 && mason.share() < 0.45) {
        lay_row(mason, z0, z1, from_x, to_x, -half_thickness_m, half_thickness_m, wear);
        return;
    }
    lay_row(mason, z0, z1, from_x, to_x, -half_thickness_m, joint_y, wear);
    lay_row(mason, z0, z1, from_x, to_x, joint_y, half_thickness_m, wear);
}

/// Outer edge of the standing wall by height, as the fall has left it, on the left and the right.
double wall_end_m(Side side, double z) {
    struct Step {
        double below_z, x;
    };
    constexpr std::array<Step, 9> left{{{0.55, 2.75},
                                        {0.86, 2.52},
                                        {1.35, 2.20},
                                        {2.60, 1.98},
                                        {3.20, 2.02},
                                        {3.75, 1.84},
                                        {4.12, 1.70},
                                        {4.40, 1.32},
                                        {9.0, 1.02}}};
    constexpr std::array<Step, 4> right{{{0.30, 2.30}, {2.20, 1.96}, {2.80, 2.02}, {9.0, 1.86}}};
    if (side == Side::left) {
        for (const Step& step : left)
            if (z < step.below_z) return step.x;
    }
    for (const Step& step : right)
        if (z < step.below_z) return step.x;
    return 0.0;
}

void lay_wall(Mason& mason, Side side, double top_m) {
    double z0 = -0.3;
    while (z0 < top_m) {
        double z1 = z0 + mason.between(0.25, 0.35);
        if (z0 < springing_m && z1 > springing_m - 0.12) z1 = springing_m;  // the ring's seat
        const double outer = wall_end_m(side, 0.5 * (z0 + z1)) + mason.between(-0.07, 0.07);
        const double wear = z1 > top_m - 0.4 ? 0.9 : z0 < 0.3 ? 0.5 : 0.15;
        double plinth = z0 < 0.0 ? 0.06 : 0.0;
        const Vec2 inner{extrados_x_m(z0) + plinth, extrados_x_m(z1) + plinth};
        const Vec2 end{-outer - plinth, -outer - plinth + (wear > 0.5 ? 0.05 : 0.0)};
        if (side == Side::left)
            lay_course(mason, z0, z1, end, inner, wear);
        else
            lay_course(mason, z0, z1, -inner, -end, wear);
        z0 = z1;
    }
}

/// One stone of the ring; `step` counts from the springing.
void lay_voussoir(Mason& mason, Side side, int step, double wear) {
    const double crown_rad = std::acos(off_centre_m / intrados_m);
    const double outer_crown_rad = std::acos(off_centre_m / (intrados_m + ring_m));
    const double depth = mason.between(-0.015, 0.045);
    const auto at = [&](double radius, double turn_rad) {  // on the left
        return Vec2(std::min(0.0, off_centre_m - radius * std::cos(turn_rad)),
                    springing_m + radius * std::sin(turn_rad));
    };
    const double t0 = static_cast<double>(step) / voussoirs,
                 t1 = static_cast<double>(step + 1) / voussoirs;
    const double inner = intrados_m + mason.between(-0.012, 0.008),
                 outer = intrados_m + ring_m + depth;
    std::array<Vec2, 4> outline{at(outer, t0 * outer_crown_rad), at(inner, t0 * crown_rad),
                                at(inner, t1 * crown_rad), at(outer, t1 * outer_crown_rad)};
    if (side == Side::right) {
        outline = {outline[1], outline[0], outline[3], outline[2]};
        for (Vec2& corner : outline) corner.x = -corner.x;
    }
    const double proud = mason.between(-0.012, 0.018) + 0.015;
    const double y = half_thickness_m + proud;
    if (step % 2 == 0) {
        mason.lay(outline, -y, y, wear);
        return;
    }
    const double joint_y = mason.between(-0.08, 0.08);
    mason.lay(outline, -y, joint_y, wear);
    mason.lay(outline, joint_y, y, wear);
}

/// A block of these half sizes, tumbled and half sunk where it came to rest.
void drop_stone(Mason& mason, const Vec3& half_m, const Vec3& middle_m, const Vec3& turns_rad) {
    Stone stone;
    const double cz = std::cos(turns_rad.z), sz = std::sin(turns_rad.z), cx = std::cos(turns_rad.x),
                 sx = std::sin(turns_rad.x), cy = std::cos(turns_rad.y), sy = std::sin(turns_rad.y);
    for (std::size_t k = 0; k < 8; ++k) {
        const bool right = k % 4 == 1 || k % 4 == 2, up = k % 4 >= 2, back = k >= 4;
        Vec3 p = half_m * Vec3(right ? 1 : -1, back ? 1 : -1, up ? 1 : -1);
        if (up) p.x *= 0.88;  // most are wedges
        p = {p.x, p.y * cx - p.z * sx, p.y * sx + p.z * cx};
        p = {p.x * cy + p.z * sy, p.y, p.z * cy - p.x * sy};
        stone.corners[k] = middle_m + Vec3(p.x * cz - p.y * sz, p.x * sz + p.y * cz, p.z);
    }
    mason.add(stone, 0.7);
}

void drop_stones(Mason& mason) {
    drop_stone(mason, {0.23, 0.31, 0.19}, {1.02, -0.95, 0.12}, {0.35, 0.12, 0.6});
    drop_stone(mason, {0.20, 0.27, 0.17}, {0.42, -0.42, 0.09}, {-0.10, 0.30, 1.9});
    drop_stone(mason, {0.26, 0.19, 0.15}, {1.55, -1.45, 0.07}, {0.15, -0.22, 2.5});
    drop_stone(mason, {0.17, 0.15, 0.13}, {0.75, -1.62, 0.06}, {0.5, 0.3, 0.3});
    drop_stone(mason, {0.22, 0.16, 0.14}, {2.45, -0.60, 0.08}, {-0.2, 0.42, 1.2});
    drop_stone(mason, {0.24, 0.30, 0.18}, {2.30, 0.35, 0.10}, {0.2, -0.5, 0.9});
    drop_stone(mason, {0.18, 0.20, 0.13}, {1.05, -0.62, 0.36}, {0.6, -0.35, 1.4});
    drop_stone(mason, {0.21, 0.25, 0.17}, {0.60, 0.85, 0.10}, {0.3, 0.2, 2.2});
    drop_stone(mason, {0.15, 0.13, 0.11}, {-0.35, -1.15, 0.05}, {0.2, 0.6, 0.7});
    drop_stone(mason, {0.16, 0.14, 0.12}, {-2.95, -0.55, 0.06}, {0.1, 0.3, 2.0});
    drop_stone(mason, {0.14, 0.18, 0.12}, {1.95, -1.05, 0.05}, {0.4, 0.1, 0.2});
}

}  // namespace

Mesh arch_mesh() {
    Mason mason;
    lay_wall(mason, Side::left, 4.45);
    lay_wall(mason, Side::right, 2.95);
    for (int step = 0; step < voussoirs; ++step) lay_voussoir(mason, Side::left, step, 0.1);
    for (const int step : {0, 1, 2, 3, 4, 7, 8})  // two have fallen
        lay_voussoir(mason, Side::right, step, step == 4 || step == 7 ? 0.8 : 0.1);
    drop_stones(mason);
    split_long_edges(mason.mesh, 0.10);
    smooth_normals(mason.mesh);
    return std::move(mason.mesh);
}

}  // namespace lampflight
