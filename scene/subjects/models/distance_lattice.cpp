#include "scene/subjects/models/distance_lattice.h"

#include <array>
#include <cmath>

#include <tbb/parallel_for.h>

namespace lampflight {

namespace {

constexpr int eighth_cells = 2;
constexpr int block_cells = 2 * eighth_cells;

/// Distance from the middle of a cube of cells to its corner, in cells.
constexpr double reach_cells(int side) {
    return 0.5 * 1.7320508075688772 * side;
}

// A distance may overstate: an eighth is looked into from a little further off.
constexpr double eighth_reach_cells = 1.3 * reach_cells(eighth_cells);

std::size_t volume(const glm::ivec3& size) {
    return static_cast<std::size_t>(size.x) * static_cast<std::size_t>(size.y) *
           static_cast<std::size_t>(size.z);
}

/// Calls `visit` for every place of a box of whole numbers, x fastest.
template <class Visit>
void for_each_place(const glm::ivec3& low, const glm::ivec3& size, const Visit& visit) {
    for (int z = 0; z < size.z; ++z)
        for (int y = 0; y < size.y; ++y)
            for (int x = 0; x < size.x; ++x) visit(low + glm::ivec3(x, y, z));
}

/// Patterns of a cell with a face whose inside corners are just two across from each other.
bool has_pinch(unsigned pattern) {
    const auto inside = [&](unsigned corner) { return (pattern >> corner & 1u) != 0u; };
    for (unsigned axis = 0; axis < 3; ++axis) {
        const unsigned u = 1u << ((axis + 1) % 3), v = 1u << ((axis + 2) % 3);
        for (const unsigned base : {0u, 1u << axis})
            if (inside(base) == inside(base | u | v) && inside(base | u) == inside(base | v) &&
                inside(base) != inside(base | u))
                return true;
    }
    return false;
}

}  // namespace

DistanceLattice::DistanceLattice(const SignedDistance& distance_m, const Box& box, double cell_m)
    : distance_m_(distance_m), low_m_(box.low_m), cell_m_(cell_m) {
    const Vec3 size = glm::ceil((box.high_m - box.low_m) / (cell_m * block_cells));
    blocks_ = glm::max(glm::ivec3(size), glm::ivec3(1));
    points_ = blocks_ * block_cells + 1;
    for (unsigned corner = 0; corner < 8; ++corner)
        corner_step_[corner] = index(glm::ivec3(corner & 1u, corner >> 1 & 1u, corner >> 2));
    value_.assign(volume(points_), far_away);
    is_near_.assign(8 * volume(blocks_), 0);
    find_near();
    fill_near();
    do follow();
    while (part_pinches());
}

std::vector<glm::ivec3> DistanceLattice::crossed_cells() const {
    std::vector<glm::ivec3> cells;
    visit_near_cells([&](const glm::ivec3& cell) {
        const unsigned bits = pattern(cell);
        if (bits != 0 && bits != 255) cells.push_back(cell);
    });
    return cells;
}

template <class Visit>
void DistanceLattice::visit_near_cells(const Visit& visit) const {
    for_each_place(glm::ivec3(0), blocks_, [&](const glm::ivec3& block) {
        bool any = false;
        for_each_place(block * 2, glm::ivec3(2), [&](const glm::ivec3& e) { any |= holds(e); });
        if (!any) return;
        for_each_place(block * block_cells, glm::ivec3(block_cells), [&](const glm::ivec3& cell) {
            if (holds(cell / eighth_cells)) visit(cell);
        });
    });
}

std::size_t DistanceLattice::eighth_index(const glm::ivec3& eighth) const {
    return (static_cast<std::size_t>(eighth.z) * static_cast<std::size_t>(2 * blocks_.y) +
            static_cast<std::size_t>(eighth.y)) *
               static_cast<std::size_t>(2 * blocks_.x) +
           static_cast<std::size_t>(eighth.x);
}

bool DistanceLattice::holds(const glm::ivec3& eighth) const {
    return is_near_[eighth_index(eighth)] != 0;
}

void DistanceLattice::sample(const glm::ivec3& p) {
    float& value = value_[index(p)];
    if (value == far_away) value = static_cast<float>(distance_m_(place_m(Vec3(p))));
}

/// Marks the eighths whose middles, and those of their blocks, are near. Middles are lattice points
/// of their own, so threads never meet.
void DistanceLattice::find_near() {
    tbb::parallel_for(0, blocks_.z * blocks_.y, [&](int row) {
        for (int x = 0; x < blocks_.x; ++x) {
            const glm::ivec3 block(x, row % blocks_.y, row / blocks_.y);
            const glm::ivec3 middle = block * block_cells + eighth_cells;
            const double off_m = distance_m_(place_m(Vec3(middle)));
            if (!(std::abs(off_m) < reach_cells(block_cells) * cell_m_)) continue;
            value_[index(middle)] = static_cast<float>(off_m);
            for_each_place(block * 2, glm::ivec3(2), [&](const glm::ivec3& eighth) {
                const glm::ivec3 p = eighth * eighth_cells + 1;
                sample(p);
                if (std::abs(double{value(p)}) < eighth_reach_cells * cell_m_)
                    is_near_[eighth_index(eighth)] = 1;
            });
        }
    });
    for_each_place(glm::ivec3(0), 2 * blocks_, [&](const glm::ivec3& eighth) {
        if (holds(eighth)) near_eighths_.push_back(eighth);
    });
}

/// Of the near eighths that share a lattice point, the lowest samples it.
bool DistanceLattice::is_owner(const glm::ivec3& eighth, const glm::ivec3& p) const {
    const glm::ivec3 high = glm::min(p / eighth_cells, 2 * blocks_ - 1);
    const glm::ivec3 low = glm::max((p - 1) / eighth_cells, glm::ivec3(0));
    for (int z = low.z; z <= high.z; ++z)
        for (int y = low.y; y <= high.y; ++y)
            for (int x = low.x; x <= high.x; ++x)
                if (holds({x, y, z})) return eighth == glm::ivec3(x, y, z);
    return false;
}

void DistanceLattice::fill_near() {
    tbb::parallel_for(std::size_t{0}, near_eighths_.size(), [&](std::size_t i) {
        const glm::ivec3& eighth = near_eighths_[i];
        for_each_place(eighth * eighth_cells, glm::ivec3(eighth_cells + 1),
                       [&](const glm::ivec3& p) {
                           if (is_owner(eighth, p)) sample(p);
                       });
    });
}

/// Where the surface leaves an eighth, the next one holds it as well, whatever its middle said.
void DistanceLattice::follow() {
    for (std::size_t i = 0; i < near_eighths_.size(); ++i)
        for (int axis = 0; axis < 3; ++axis)
            for (const bool upper : {false, true}) {
                glm::ivec3 next = near_eighths_[i];
                next[axis] += upper ? 1 : -1;
                const bool inside = next[axis] >= 0 && next[axis] < 2 * blocks_[axis];
                if (inside && !holds(next) && is_crossed(near_eighths_[i], axis, upper))
                    take_in(next);
            }
}

bool DistanceLattice::is_crossed(const glm::ivec3& eighth, int axis, bool upper) const {
    glm::ivec3 p = eighth * eighth_cells;
    if (upper) p[axis] += eighth_cells;
    const int u = (axis + 1) % 3, v = (axis + 2) % 3;
    const glm::ivec3 low = p;
    const bool first_inside = value(p) < 0.0f;
    for (int j = 0; j <= eighth_cells; ++j)
        for (int i = 0; i <= eighth_cells; ++i) {
            p[u] = low[u] + i;
            p[v] = low[v] + j;
            if ((value(p) < 0.0f) != first_inside) return true;
        }
    return false;
}

void DistanceLattice::take_in(const glm::ivec3& eighth) {
    is_near_[eighth_index(eighth)] = 1;
    near_eighths_.push_back(eighth);
    for_each_place(eighth * eighth_cells, glm::ivec3(eighth_cells + 1),
                   [&](const glm::ivec3& p) { sample(p); });
}

/// Moves a corner out of the body wherever sheets would meet. Returns whether there were any; ends
/// because corners only ever leave.
bool DistanceLattice::part_pinches() {
    static const std::array<bool, 256> pinched = [] {
        std::array<bool, 256> made{};
        for (unsigned bits = 0; bits < 256; ++bits) made[bits] = has_pinch(bits);
        return made;
    }();
    bool any = false;
    visit_near_cells([&](const glm::ivec3& cell) {
        if (!pinched[pattern(cell)]) return;
        for (int axis = 0; axis < 3; ++axis)
            for (const int level : {0, 1}) any |= part_pinch(cell, axis, level);
    });
    return any;
}

bool DistanceLattice::part_pinch(const glm::ivec3& cell, int axis, int level) {
    std::array<float*, 4> corner{};  // about the face
    for (int k = 0; k < 4; ++k) {
        glm::ivec3 p = cell;
        p[axis] += level;
        p[(axis + 1) % 3] += k == 1 || k == 2 ? 1 : 0;
        p[(axis + 2) % 3] += k >= 2 ? 1 : 0;
        corner[static_cast<std::size_t>(k)] = &value_[index(p)];
    }
    const bool first_inside = *corner[0] < 0.0f;
    if ((*corner[2] < 0.0f) != first_inside || (*corner[1] < 0.0f) == first_inside ||
        (*corner[3] < 0.0f) == first_inside)
        return false;
    float* const one = corner[first_inside ? 0 : 1];
    float* const other = corner[first_inside ? 2 : 3];
    *(*one > *other ? one : other) = static_cast<float>(1e-3 * cell_m_);
    return true;
}

}  // namespace lampflight
