#include "renderer/lamp_light/visibility_field.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <memory>
#include <numeric>
#include <vector>

#include "renderer/sampling/low_discrepancy.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

constexpr int instants = 4;
constexpr float pixel_m = 0.1f;
constexpr float tolerance = 0.012f;  // as for `good`

using ShareAt = std::function<float(int x, int y)>;  // by the tile's pixel

/// A tile that shows level ground, or two surfaces that meet in the middle of the film.
struct SeenGround {
    std::unique_ptr<TileView> view = std::make_unique<TileView>();
    VisibilityField field;

    SeenGround() {
        for (std::size_t b = 0; b < tile_blocks; ++b) {
            SurfacePacket points;
            for (int i = 0; i < packet_size; ++i) {
                const glm::ivec2 at_px = place_in_tile(tile_pixel(b, i));
                points.position_m.set(i, pixel_m * glm::vec3(glm::vec2(at_px), 0.0f));
                points.face_normal.set(i, {0.0f, 0.0f, 1.0f});
            }
            points.found = all_lanes;
            view->blocks[b] = {points};
            view->plain[b] = true;
        }
    }

    /// Changes the points of the right half.
    void right_half(const std::function<void(SurfacePacket&, int lane, float off_m)>& change) {
        for (std::size_t b = 0; b < tile_blocks; ++b)
            for (int i = 0; i < packet_size; ++i) {
                const int x = place_in_tile(tile_pixel(b, i)).x;
                if (x >= tile_side_px / 2)
                    change(view->blocks[b][0], i,
                           pixel_m * (static_cast<float>(x) - 0.5f * tile_side_px));
            }
    }

    void begin() {
        field.begin_tile(*view);
        field.begin_lamp(instants);
    }

    /// Both parts of each pixel's light, the one that comes and then the one that does not: shares
    /// without an instant's noise.
    void add(std::size_t block, const ShareAt& share) {
        std::array<std::uint8_t, packet_size> early{}, late{};
        late.fill(32);
        Lanes arrives, hidden;
        for (int i = 0; i < packet_size; ++i) {
            const glm::ivec2 at_px = place_in_tile(tile_pixel(block, i));
            arrives[i] = share(at_px.x, at_px.y);
            hidden[i] = 1.0f - arrives[i];
        }
        field.add(block, early, arrives, all_lanes);
        field.add(block, late, hidden, 0);
    }

    void add_all(const ShareAt& share) {
        begin();
        for (std::size_t b = 0; b < tile_blocks; ++b) add(b, share);
    }

    /// Which blocks are smooth.
    std::array<bool, tile_blocks> fit_all() {
        std::array<bool, tile_blocks> smooth{};
        for (std::size_t b = 0; b < tile_blocks; ++b) smooth[b] = field.fit(b, tolerance);
        return smooth;
    }

    /// Largest difference between the field and what it was made of, where it is smooth.
    float worst_apart(const ShareAt& share) {
        float worst = 0.0f;
        const auto smooth = fit_all();
        for (std::size_t b = 0; b < tile_blocks; ++b)
            for (int i = 0; smooth[b] && i < packet_size; ++i) {
                const glm::ivec2 at_px = place_in_tile(tile_pixel(b, i));
                worst = std::max(worst, std::abs(field.visibility(b, i) - share(at_px.x, at_px.y)));
            }
        return worst;
    }
};

constexpr int count_of(const std::array<bool, tile_blocks>& smooth) {
    return static_cast<int>(std::ranges::count(smooth, true));
}

/// Whether a block's own or its neighbours' columns lie on both sides of the line before column x.
bool window_spans(std::size_t block, int x) {
    const int bx = static_cast<int>(block) % blocks_across_tile;
    return block_side_px * (bx - 1) < x && x < block_side_px * (bx + 2);
}

/// A block in the tile's corner sees 16 cells, fewer than half a window's 36: mixed light is not
/// trusted there.
bool in_corner(std::size_t block) {
    return block == 0 || block == blocks_across_tile - 1 || block == tile_blocks - 1 ||
           block == tile_blocks - blocks_across_tile;
}

bool all_but_corners(const std::array<bool, tile_blocks>& smooth) {
    for (std::size_t b = 0; b < tile_blocks; ++b)
        if (smooth[b] == in_corner(b)) return false;
    return true;
}

constexpr double rounding = 2e-5;  // of sums over 36 cells in single precision

}  // namespace

TEST_CASE("a constant share comes back, to the edges of a tile") {
    for (const float s : {0.001f, 0.3f, 0.5f, 0.999f}) {
        const ShareAt share = [s](int, int) { return s; };
        SeenGround ground;
        ground.add_all(share);
        CHECK(all_but_corners(ground.fit_all()));
        CHECK(ground.worst_apart(share) < rounding);
    }
}

TEST_CASE("a plane of shares comes back, to the edges of a tile") {
    for (const glm::vec2& slope :
         {glm::vec2(0.02f, 0.0f), {0.0f, -0.02f}, {0.01f, 0.012f}, {-0.013f, 0.008f}}) {
        const ShareAt share = [slope](int x, int y) {
            return 0.5f + slope.x * (static_cast<float>(x) - 15.5f) +
                   slope.y * (static_cast<float>(y) - 15.5f);
        };
        SeenGround ground;
        ground.add_all(share);
        CHECK(all_but_corners(ground.fit_all()));
        CHECK(ground.worst_apart(share) < rounding);
    }
}

TEST_CASE("all lit and all dark are exact, even where a block is alone") {
    for (const float s : {0.0f, 1.0f}) {
        SeenGround ground;
        for (std::size_t b = 0; b < tile_blocks; ++b) ground.view->plain[b] = b % 5 == 0;
        ground.begin();
        for (std::size_t b = 0; b < tile_blocks; b += 5) {
            ground.add(b, [s](int, int) { return s; });
            REQUIRE(ground.field.fit(b, tolerance));
        }
        for (std::size_t b = 0; b < tile_blocks; b += 5)
            for (int i = 0; i < packet_size; ++i) CHECK(ground.field.visibility(b, i) == s);
    }
}

// Steps within a block and between two.
TEST_CASE("a step of the share is refused where a window holds it, and only there") {
    for (const int at : {9, 12, 14, 16}) {
        SeenGround ground;
        ground.add_all([at](int x, int) { return x < at ? 0.2f : 0.7f; });
        const auto smooth = ground.fit_all();
        for (std::size_t b = 0; b < tile_blocks; ++b)
            CHECK_MESSAGE(smooth[b] == (!window_spans(b, at) && !in_corner(b)), "step at ", at,
                          ", block ", b);
    }
}

// A thin shadow: a column of pixels that lost a fifth or more of its light.
TEST_CASE("a thin line is refused by the blocks that it crosses") {
    for (const float s : {0.0f, 0.5f, 0.8f})
        for (const int at : {12, 13, 14, 15}) {
            SeenGround ground;
            ground.add_all([&](int x, int) { return x == at ? s : 1.0f; });
            const auto smooth = ground.fit_all();
            for (std::size_t b = 3; b < tile_blocks; b += blocks_across_tile)
                CHECK_MESSAGE(!smooth[b], "line of ", s, " at ", at, ", block ", b);
            // Beyond the windows that hold it all is lit.
            for (std::size_t b = 0; b < tile_blocks; ++b)
                if (!window_spans(b, at) && !window_spans(b, at + 1)) CHECK(smooth[b]);
        }
}

// Tolerance is of a cell of four pixels: a fault of one pixel counts a quarter.
TEST_CASE("one dark pixel is refused by its own block") {
    for (const glm::ivec2& at_px : {glm::ivec2(12, 12), {15, 14}, {17, 18}}) {
        SeenGround ground;
        ground.add_all([&](int x, int y) { return x == at_px.x && y == at_px.y ? 0.0f : 0.9f; });
        CHECK_FALSE(ground.fit_all()[static_cast<std::size_t>(
            at_px.y / block_side_px * blocks_across_tile + at_px.x / block_side_px)]);
    }
}

TEST_CASE("mixed light in a window with few cells is refused") {
    const ShareAt half = [](int, int) { return 0.5f; };
    for (const auto& [reach, trusted] : {std::pair(0, false), {1, true}}) {
        SeenGround ground;
        for (std::size_t b = 0; b < tile_blocks; ++b) {
            const int x = static_cast<int>(b) % blocks_across_tile;
            const int y = static_cast<int>(b) / blocks_across_tile;
            ground.view->plain[b] = std::max(std::abs(x - 3), std::abs(y - 3)) <= reach;
        }
        ground.begin();
        for (std::size_t b = 0; b < tile_blocks; ++b)
            if (ground.view->plain[b]) ground.add(b, half);
        CHECK(ground.field.fit(3 * blocks_across_tile + 3, tolerance) == trusted);
    }
}

// Ground and a wall that rises from it, a step down, another mesh: the planes of the one say
// nothing of the other.
TEST_CASE("a fit does not reach over to another surface") {
    const std::function<void(SurfacePacket&, int, float)> wall = [](SurfacePacket& points, int i,
                                                                    float off_m) {
        glm::vec3 at_m = points.position_m.at(i);
        at_m.x -= off_m;
        at_m.z = off_m;
        points.position_m.set(i, at_m);
        points.face_normal.set(i, {-1.0f, 0.0f, 0.0f});
    };
    const std::function<void(SurfacePacket&, int, float)> lower = [](SurfacePacket& points, int i,
                                                                     float) {
        points.position_m.set(i, points.position_m.at(i) - glm::vec3(0.0f, 0.0f, 0.5f));
    };
    const std::function<void(SurfacePacket&, int, float)> other =
        [](SurfacePacket& points, int i, float) { points.mesh[static_cast<std::size_t>(i)] = 1; };
    for (const auto& change : {wall, lower, other}) {
        const ShareAt share = [](int x, int y) {
            return x < tile_side_px / 2 ? 0.3f + 0.005f * static_cast<float>(y)
                                        : 0.8f - 0.01f * static_cast<float>(x - 16);
        };
        SeenGround ground;
        ground.right_half(change);
        ground.add_all(share);
        // Each half has its own corners.
        const auto smooth = ground.fit_all();
        for (std::size_t b = blocks_across_tile; b < tile_blocks - blocks_across_tile; ++b)
            CHECK(smooth[b]);
        CHECK(ground.worst_apart(share) < rounding);
    }
}

TEST_CASE("surfaces that bend a little share what they find") {
    SeenGround ground;
    ground.right_half([](SurfacePacket& points, int i, float off_m) {
        points.position_m.set(i, points.position_m.at(i) + glm::vec3(0.0f, 0.0f, 0.15f * off_m));
        points.face_normal.set(i, glm::normalize(glm::vec3(-0.15f, 0.0f, 1.0f)));
    });
    // A step at the bend: refused on both sides, for each takes the other for its own.
    ground.add_all([](int x, int) { return x < tile_side_px / 2 ? 0.2f : 0.7f; });
    const auto smooth = ground.fit_all();
    for (std::size_t b = 0; b < tile_blocks; ++b)
        CHECK(smooth[b] == (!window_spans(b, tile_side_px / 2) && !in_corner(b)));
}

// Four instants a pixel at offsets that differ over 16 pixels, and a shadow that comes at a time
// which varies slowly over the film: what such cells leave is their own noise.
TEST_CASE("noise of few instants is no structure, and is smoothed to a fifth of a pixel's") {
    for (const float edge : {0.2f, 0.45f, 0.71f}) {
        const ShareAt share = [edge](int x, int y) {
            return edge + 0.002f * static_cast<float>(x) - 0.001f * static_cast<float>(y);
        };
        SeenGround ground;
        ground.begin();
        for (std::size_t b = 0; b < tile_blocks; ++b)
            for (int m = 0; m < instants; ++m) {
                std::array<std::uint8_t, packet_size> instant{};
                Lanes light;
                light.lane.fill(1.0f);
                LaneMask lit = 0;
                for (int i = 0; i < packet_size; ++i) {
                    const auto lane = static_cast<std::size_t>(i);
                    const auto offset = dither_rank[lane] + static_cast<std::uint32_t>(5 * b);
                    instant[lane] =
                        static_cast<std::uint8_t>(offset % 16 + 16 * static_cast<unsigned>(m));
                    const glm::ivec2 at_px = place_in_tile(tile_pixel(b, i));
                    if ((static_cast<float>(instant[lane]) + 0.5f) / 64.0f <
                        share(at_px.x, at_px.y))
                        lit |= 1u << i;
                }
                ground.field.add(b, instant, light, lit);
            }
        CHECK(count_of(ground.fit_all()) >= 60);
        double squares = 0.0;
        int count = 0;
        for (std::size_t b = 0; b < tile_blocks; ++b) {
            if (!ground.field.fit(b, tolerance)) continue;
            for (int i = 0; i < packet_size; ++i) {
                const glm::ivec2 at_px = place_in_tile(tile_pixel(b, i));
                const double off =
                    static_cast<double>(ground.field.visibility(b, i) - share(at_px.x, at_px.y));
                squares += off * off;
                ++count;
            }
        }
        const double one_pixel = 1.0 / instants / std::sqrt(12.0);
        INFO("rms ", std::sqrt(squares / count), " of ", one_pixel);
        CHECK(std::sqrt(squares / count) < 0.2 * one_pixel);
    }
}

TEST_CASE("the order in which blocks come changes nothing") {
    const ShareAt share = [](int x, int y) {
        return 0.5f + 0.3f * std::sin(0.2f * static_cast<float>(x)) *
                          std::cos(0.15f * static_cast<float>(y));
    };
    std::array<std::size_t, tile_blocks> order;
    std::iota(order.begin(), order.end(), std::size_t{0});
    SeenGround forward;
    forward.add_all(share);
    const auto smooth = forward.fit_all();
    REQUIRE(count_of(smooth) > 0);
    REQUIRE(count_of(smooth) < static_cast<int>(tile_blocks));
    const auto check_order = [&] {
        SeenGround other;
        other.begin();
        for (const std::size_t b : order) other.add(b, share);
        for (const std::size_t b : order) CHECK(other.field.fit(b, tolerance) == smooth[b]);
        for (std::size_t b = 0; b < tile_blocks; ++b)
            for (int i = 0; smooth[b] && i < packet_size; ++i)
                CHECK(other.field.visibility(b, i) == forward.field.visibility(b, i));
    };
    std::ranges::reverse(order);
    check_order();
    for (std::size_t b = 0; b < tile_blocks; ++b) order[b] = b * 27 % tile_blocks;
    check_order();
}

TEST_CASE("a lamp leaves nothing behind for the next") {
    SeenGround ground;
    ground.add_all([](int x, int) { return x < 14 ? 0.0f : 1.0f; });
    ground.fit_all();
    ground.field.begin_lamp(instants);
    const ShareAt even = [](int, int) { return 0.6f; };
    for (std::size_t b = 0; b < tile_blocks; ++b) ground.add(b, even);
    CHECK(all_but_corners(ground.fit_all()));
    CHECK(ground.worst_apart(even) < rounding);
}
