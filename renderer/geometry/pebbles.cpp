#include "renderer/geometry/pebbles.h"

#include <cmath>

#include "renderer/geometry/value_noise.h"
#include "renderer/sampling/low_discrepancy.h"

namespace lampflight {
namespace {

/// At most one pebble in each cell of a turned grid.
struct PebbleGrid {
    float cell_m;
    glm::vec2 turn;  ///< cosine and sine
    float share;     ///< of cells that hold one where there is gravel
};

// Turned by odd angles, so that no grid shows. Small ones first: larger ones cover them.
constexpr std::array<PebbleGrid, 4> pebble_grids{{{0.023f, {0.891f, 0.454f}, 0.8f},
                                                  {0.039f, {0.515f, -0.857f}, 0.7f},
                                                  {0.069f, {0.216f, 0.976f}, 0.6f},
                                                  {0.117f, {0.743f, 0.669f}, 0.45f}}};

inline float drawn(std::uint32_t key, std::uint32_t number) {
    return static_cast<float>(static_cast<int>(hash_of(key, number) >> 8)) * 0x1p-24f;
}

struct CosineSine {
    float cosine, sine;
};

/// Cosine and sine of an angle of up to some turns, to about 1e-7: the calls of the library can't
/// be worked in lanes. Taylor series of degree 8 and 9 about the nearest quarter turn.
inline CosineSine unit_circle(float angle_rad) {
    const float quarters = std::floor(angle_rad * 0.63661977f + 0.5f);
    // A quarter turn in two parts, the first exact in a few bits.
    const float t = (angle_rad - quarters * 1.5703125f) - quarters * 4.8382679e-4f;
    const float s = t * t;
    const float c0 =
        1.0f + s * (-0.5f + s * (4.1666667e-2f + s * (-1.3888889e-3f + s * 2.4801587e-5f)));
    const float s0 =
        t * (1.0f +
             s * (-1.6666667e-1f + s * (8.3333333e-3f + s * (-1.9841270e-4f + s * 2.7557319e-6f))));
    const int turn = static_cast<int>(quarters);
    const float a = (turn & 1) != 0 ? s0 : c0, b = (turn & 1) != 0 ? c0 : s0;
    return {((turn + 1) & 2) != 0 ? -a : a, (turn & 2) != 0 ? -b : b};
}

// Reach of the dark gap about a pebble, of its own radius.
constexpr float gap = 1.25f;

/// Places near a pebble, gathered from all lanes and grids, grid after grid.
struct NearPebbles {
    static constexpr std::size_t most = pebble_grids.size() * packet_size;
    std::size_t count = 0;
    std::array<std::uint32_t, most> key;  ///< the pebble's own
    std::array<float, most> x, y;         ///< off its middle, in radii
    std::array<float, most> side;         ///< 1 on the rim
    std::array<float, most> across_x, across_y;
    std::array<float, most> held;
    std::array<std::uint8_t, most> lane, grid;
};

/// Finds the lanes near a pebble of one grid.
void find_pebbles(std::size_t number, const ReliefPlaces& places, const Lanes& gravel,
                  const Lanes& held, NearPebbles& pebbles) {
    const PebbleGrid& grid = pebble_grids[number];
    std::array<std::uint32_t, packet_size> key;
    Lanes off_x, off_y, inside;
    for (int i = 0; i < packet_size; ++i) {
        const float place_x = places.position_m.x[i], place_y = places.position_m.y[i];
        const float x = (grid.turn.x * place_x - grid.turn.y * place_y) / grid.cell_m;
        const float y = (grid.turn.y * place_x + grid.turn.x * place_y) / grid.cell_m;
        const float cell_x = std::floor(x), cell_y = std::floor(y);
        const std::uint32_t own = hash_of(static_cast<std::uint32_t>(static_cast<int>(cell_x)),
                                          static_cast<std::uint32_t>(static_cast<int>(cell_y)));
        key[static_cast<std::size_t>(i)] = own;
        const float radius = 0.20f + 0.20f * drawn(own, 2);
        const float free = 0.5f - gap * radius;
        off_x[i] = (x - cell_x - (0.5f + free * (2.0f * drawn(own, 3) - 1.0f))) / radius;
        off_y[i] = (y - cell_y - (0.5f + free * (2.0f * drawn(own, 4) - 1.0f))) / radius;
        const float square = off_x[i] * off_x[i] + off_y[i] * off_y[i];
        inside[i] = (drawn(own, 1) < grid.share * gravel[i] ? 1.0f : 0.0f) *
                    (square < gap * gap ? held[i] : 0.0f);
    }
    for (int i = 0; i < packet_size; ++i) {
        if (inside[i] <= 0.0f) continue;
        const std::size_t n = pebbles.count++;
        pebbles.key[n] = key[static_cast<std::size_t>(i)];
        pebbles.x[n] = off_x[i];
        pebbles.y[n] = off_y[i];
        pebbles.held[n] = held[i];
        pebbles.lane[n] = static_cast<std::uint8_t>(i);
        pebbles.grid[n] = static_cast<std::uint8_t>(number);
    }
}

/// The six sides lie at uneven distances and angles.
void find_sides(NearPebbles& pebbles) {
    for (std::size_t n = 0; n < pebbles.count; ++n) {
        const std::uint32_t key = pebbles.key[n];
        const float first = drawn(key, 5);
        float side = 0.0f, across_x = 0.0f, across_y = 0.0f;
        for (std::uint32_t i = 0; i < 6; ++i) {
            const float angle_rad =
                1.0472f * (static_cast<float>(i) + first + 0.6f * drawn(key, 10 + i));
            const auto [cosine, sine] = unit_circle(angle_rad);
            const float share = (pebbles.x[n] * cosine + pebbles.y[n] * sine) /
                                (0.72f + 0.28f * drawn(key, 20 + i));
            across_x = share > side ? cosine : across_x;
            across_y = share > side ? sine : across_y;
            side = share > side ? share : side;
        }
        pebbles.side[n] = side;
        pebbles.across_x[n] = across_x;
        pebbles.across_y[n] = across_y;
    }
}

/// Six-sided pebbles: a tilted top, bevels round it and a dark gap where they meet the soil.
void lay_pebble(const NearPebbles& pebbles, std::size_t n, LeanAndTint& relief) {
    const int i = pebbles.lane[n];
    const float side = pebbles.side[n], held = pebbles.held[n];
    if (side >= gap) return;
    if (side >= 1.0f) {
        relief.tint[i] += held * -0.45f * (gap - side) / (gap - 1.0f);
        return;
    }
    const auto draw = [key = pebbles.key[n]](std::uint32_t number) { return drawn(key, number); };
    const PebbleGrid& grid = pebble_grids[pebbles.grid[n]];
    const glm::vec2 turned = side < 0.6f
                                 ? glm::vec2(draw(7) - 0.5f, draw(8) - 0.5f) * 0.5f
                                 : -1.1f * glm::vec2(pebbles.across_x[n], pebbles.across_y[n]);
    const glm::vec3 slope(grid.turn.x * turned.x + grid.turn.y * turned.y,
                          grid.turn.x * turned.y - grid.turn.y * turned.x, 0.0f);
    // As much of the surface as this is the pebble's.
    constexpr float cover = 0.8f;
    const float kept = 1.0f - held * cover;
    relief.lean.set(i, kept * relief.lean.at(i) + held * slope);
    relief.tint[i] = kept * relief.tint[i] + held * (0.08f + 0.7f * (draw(6) - 0.5f));
}

}  // namespace

void add_pebbles(const ReliefPlaces& places, LeanAndTint& relief) {
    std::array<Lanes, pebble_grids.size()> held;
    bool any = false;
    for (std::size_t number = 0; number < pebble_grids.size(); ++number) {
        for (int i = 0; i < packet_size; ++i) {
            const bool is_soil = places.relief[static_cast<std::size_t>(i)] == SurfaceRelief::soil;
            const float share = held_share(0.6f * pebble_grids[number].cell_m, places.patch_m[i]);
            held[number][i] = is_soil ? share : 0.0f;
        }
        any |= any_above_zero(held[number]);
    }
    if (!any) return;
    Waves broad, narrow;
    value_noise(in_waves(places.position_m, 1.7f, {3.1f, 7.7f, 0.4f}), broad);
    value_noise(in_waves(places.position_m, 0.45f, glm::vec3(0.0f)), narrow);
    Lanes gravel;
    for (int i = 0; i < packet_size; ++i)
        gravel[i] =
            std::clamp(0.6f + 0.5f * (broad.value[i] + 0.5f * narrow.value[i]), 0.12f, 1.0f);
    NearPebbles pebbles;
    for (std::size_t number = 0; number < pebble_grids.size(); ++number)
        if (any_above_zero(held[number]))
            find_pebbles(number, places, gravel, held[number], pebbles);
    find_sides(pebbles);
    for (std::size_t n = 0; n < pebbles.count; ++n) lay_pebble(pebbles, n, relief);
}

}  // namespace lampflight
