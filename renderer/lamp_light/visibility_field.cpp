#include "renderer/lamp_light/visibility_field.h"

#include <algorithm>
#include <bit>
#include <cmath>

namespace lampflight {
namespace {

// Neighbouring blocks lie on one surface if their normals are within this cosine and neither is
// further off the other's plane than this slope.
constexpr float alike_cosine = 0.9f;
constexpr float alike_slope = 0.2f;

// How far the variance of what a good fit leaves may exceed its expectation by chance.
constexpr float chance = 1.35f;

// The same for each of the block's own four cells, so that no small thing hides in a large window.
constexpr float worst_chance = 4.0f;

// Pixels of a cell whose shadows differ seem to have more edges than any one of them; a shadow of
// more than these is solved pixel by pixel.
constexpr int most_edges = 2;

// A plane through fewer cells than half the window says little of whether it fits.
constexpr int fewest_cells = 18;

// Weights of the six cells across a fit's window.
constexpr std::array<float, 6> tent{0.5f, 1.5f, 2.5f, 2.5f, 1.5f, 0.5f};

// Only the block's own four weigh more than this.
constexpr float own_weight = 6.0f;

/// Turns between lit and dark in the order of the instants, from the last back to the first as
/// well: a lattice whose offset is free misses the clock's own ends as it does any edge, so one
/// edge in time leaves the variance of two.
int edges_in_time(std::uint64_t asked, std::uint64_t lit) {
    const std::uint64_t last = std::bit_floor(asked);
    bool before = (lit & last) != 0;
    int edges = 0;
    for (; asked != 0; asked &= asked - 1) {
        const std::uint64_t lowest = asked & (~asked + 1);
        const bool here = (lit & lowest) != 0;
        if (here != before) ++edges;
        before = here;
    }
    return edges;
}

}  // namespace

void VisibilityField::begin_tile(const TileView& view) {
    for (std::size_t b = 0; b < tile_blocks; ++b) {
        Lie& lie = lie_[b];
        lie = {};
        if (!view.plain[b] || view.blocks[b].empty()) continue;
        float count = 0.0f;
        for (const SurfacePacket& points : view.blocks[b])
            for (int i = 0; i < packet_size; ++i) {
                if (!has_lane(points.found, i)) continue;
                lie.position_m += points.position_m.at(i);
                lie.normal += points.face_normal.at(i);
                lie.mesh = points.mesh[static_cast<std::size_t>(i)];
                count += 1.0f;
            }
        if (count == 0.0f) continue;
        lie.plain = true;
        lie.position_m /= count;
        lie.normal /= std::max(glm::length(lie.normal), 1e-6f);
    }
}

void VisibilityField::begin_lamp(int instants) {
    instants_ = instants;
    cell_.fill({});
    for (Plane& plane : plane_) plane.trusted = false;
}

void VisibilityField::add(std::size_t block, const std::array<std::uint8_t, packet_size>& instant,
                          const Lanes& light, LaneMask lit) {
    const int x = static_cast<int>(block) % blocks_across_tile * cells_across_block;
    const int y = static_cast<int>(block) / blocks_across_tile * cells_across_block;
    for (int i = 0; i < packet_size; ++i) {
        if (light[i] <= 0.0f) continue;
        const int cell_x = x + i % block_side_px / 2;
        const int cell_y = y + i / block_side_px / 2;
        Cell& cell = cell_[static_cast<std::size_t>(cell_y * cells_across + cell_x)];
        const std::uint64_t bit = std::uint64_t{1} << instant[static_cast<std::size_t>(i)];
        cell.light += light[i];
        cell.asked |= bit;
        if (!has_lane(lit, i)) continue;
        cell.arrived += light[i];
        cell.lit |= bit;
    }
}

bool VisibilityField::alike(const Lie& a, const Lie& b) const {
    if (!b.plain || a.mesh != b.mesh || glm::dot(a.normal, b.normal) < alike_cosine) return false;
    const glm::vec3 apart = b.position_m - a.position_m;
    return std::abs(glm::dot(a.normal, apart)) <= alike_slope * glm::length(apart) &&
           std::abs(glm::dot(b.normal, apart)) <= alike_slope * glm::length(apart);
}

/// Calls `visit(cell, weight, dx, dy)` for the cells about a block that lie on its surface; dx and
/// dy in pixels from the block's middle.
template <class Visit>
void VisibilityField::for_each_cell(std::size_t block, Visit visit) const {
    const int bx = static_cast<int>(block) % blocks_across_tile;
    const int by = static_cast<int>(block) / blocks_across_tile;
    for (int ny = std::max(by - 1, 0); ny <= std::min(by + 1, blocks_across_tile - 1); ++ny)
        for (int nx = std::max(bx - 1, 0); nx <= std::min(bx + 1, blocks_across_tile - 1); ++nx) {
            const auto near = static_cast<std::size_t>(ny * blocks_across_tile + nx);
            if (near != block && !alike(lie_[block], lie_[near])) continue;
            for (int k = 0; k < 4; ++k) {
                const int cx = 2 * nx + k % 2;
                const int cy = 2 * ny + k / 2;
                const Cell& cell = cell_[static_cast<std::size_t>(cy * cells_across + cx)];
                if (cell.light <= 0.0f) continue;
                const int ox = cx - 2 * bx;  // -2 to 3 about the block's own 0 and 1
                const int oy = cy - 2 * by;
                const float weight =
                    tent[static_cast<std::size_t>(ox + 2)] * tent[static_cast<std::size_t>(oy + 2)];
                visit(cell, weight, 2.0f * static_cast<float>(ox) - 1.0f,
                      2.0f * static_cast<float>(oy) - 1.0f);
            }
        }
}

float VisibilityField::edges_around(std::size_t block) const {
    float edges = 0.0f;
    float cells = 0.0f;
    for_each_cell(block, [&](const Cell& cell, float weight, float, float) {
        if (weight > own_weight) return;
        edges += static_cast<float>(edges_in_time(cell.asked, cell.lit));
        cells += 1.0f;
    });
    return cells > 0.0f ? edges / cells : 0.0f;
}

bool VisibilityField::fit(std::size_t block, float tolerance) {
    Plane& plane = plane_[block];
    int cells = 0;
    float lit = 0.0f, dark = 0.0f;
    float w = 0.0f, wx = 0.0f, wy = 0.0f, wxx = 0.0f, wxy = 0.0f, wyy = 0.0f;
    float ws = 0.0f, wsx = 0.0f, wsy = 0.0f, edges = 0.0f;
    for_each_cell(block, [&](const Cell& cell, float weight, float dx, float dy) {
        const float share = cell.arrived / cell.light;
        ++cells;
        lit += cell.arrived;
        dark += cell.light - cell.arrived;
        w += weight, wx += weight * dx, wy += weight * dy;
        wxx += weight * dx * dx, wxy += weight * dx * dy, wyy += weight * dy * dy;
        ws += weight * share, wsx += weight * share * dx, wsy += weight * share * dy;
        edges +=
            weight * static_cast<float>(std::min(edges_in_time(cell.asked, cell.lit), most_edges));
    });
    plane = {0.0f, 0.0f, 0.0f, true};
    if (lit <= 0.0f) return true;
    plane.middle = 1.0f;
    if (dark <= 1e-6f * lit) return true;

    plane.trusted = false;
    if (cells < fewest_cells) return false;

    // Least squares about the weighted mean.
    const float mx = wx / w, my = wy / w, ms = ws / w;
    const float sxx = wxx / w - mx * mx, sxy = wxy / w - mx * my, syy = wyy / w - my * my;
    const float bx = wsx / w - mx * ms, by = wsy / w - my * ms;
    const float determinant = sxx * syy - sxy * sxy;
    if (determinant > 0.05f * sxx * syy) {
        plane.across = (syy * bx - sxy * by) / determinant;
        plane.down = (sxx * by - sxy * bx) / determinant;
    }
    plane.middle = ms - plane.across * mx - plane.down * my;

    float left = 0.0f;
    float worst = 0.0f;
    for_each_cell(block, [&](const Cell& cell, float weight, float dx, float dy) {
        const float off =
            cell.arrived / cell.light - (plane.middle + plane.across * dx + plane.down * dy);
        left += weight * off * off;
        if (weight > own_weight) worst = std::max(worst, off * off);
    });
    const float per_cell = 4.0f * static_cast<float>(instants_);
    const float noise = edges / w / 12.0f / (per_cell * per_cell);
    plane.trusted = left / w <= chance * noise + tolerance * tolerance &&
                    worst <= worst_chance * (noise + tolerance * tolerance);
    return plane.trusted;
}

float VisibilityField::visibility(std::size_t block, int lane) const {
    const int bx = static_cast<int>(block) % blocks_across_tile;
    const int by = static_cast<int>(block) / blocks_across_tile;
    // From the block's middle, in pixels.
    const float x = static_cast<float>(lane % block_side_px) - 1.5f;
    const float y = static_cast<float>(lane / block_side_px) - 1.5f;
    const int side_x = x < 0.0f ? -1 : 1;
    const int side_y = y < 0.0f ? -1 : 1;
    const float far_x = std::abs(x) / block_side_px;
    const float far_y = std::abs(y) / block_side_px;
    float sum = 0.0f;
    float total = 0.0f;
    for (int k = 0; k < 4; ++k) {
        const int ox = k % 2 * side_x;
        const int oy = k / 2 * side_y;
        const int nx = bx + ox;
        const int ny = by + oy;
        if (nx < 0 || ny < 0 || nx >= blocks_across_tile || ny >= blocks_across_tile) continue;
        const auto near = static_cast<std::size_t>(ny * blocks_across_tile + nx);
        const Plane& plane = plane_[near];
        if (!plane.trusted || (k > 0 && !alike(lie_[block], lie_[near]))) continue;
        const float weight = (ox == 0 ? 1.0f - far_x : far_x) * (oy == 0 ? 1.0f - far_y : far_y);
        sum +=
            weight * (plane.middle + plane.across * (x - static_cast<float>(block_side_px * ox)) +
                      plane.down * (y - static_cast<float>(block_side_px * oy)));
        total += weight;
    }
    return std::clamp(sum / total, 0.0f, 1.0f);
}

}  // namespace lampflight
