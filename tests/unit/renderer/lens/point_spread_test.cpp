#include "renderer/lens/point_spread.h"

#include <tbb/global_control.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <random>
#include <vector>

#include "renderer/develop/tone.h"
#include "scene/basics/angle.h"
#include "tests/film.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

Camera camera_of(const glm::ivec2& pixels) {
    Camera camera;
    camera.pixels = pixels;
    return camera;
}

/// As what fills the frame, and as what is small and bright.
Image surfaces_spread(const Camera& camera, double f_number, const Image& film) {
    return PointSpread(camera, f_number)
        .laid_on([&](int y, Row row) { std::ranges::copy(film.row(y), row.begin()); },
                 SparseImage(camera.pixels));
}

Image trails_spread(const Camera& camera, double f_number, const Image& film) {
    return PointSpread(camera, f_number)
        .laid_on([](int, Row row) { std::ranges::fill(row, glm::vec3(0.0f)); }, lit_of(film));
}

constexpr std::array both_ways{surfaces_spread, trails_spread};

Image point_at(const glm::ivec2& size, const glm::ivec2& at, float light) {
    Image film(size.x, size.y);
    film.at(at.x, at.y) = {light, 0.5f * light, 0.25f * light};
    return film;
}

Image even_film(const glm::ivec2& size) {
    Image film(size.x, size.y);
    std::ranges::fill(film.pixels, glm::vec3(1.0f));
    return film;
}

/// Edges of a thousand to one, upright, level and aslant, and pixels three times as bright as those
/// around them, in rows about the middle.
std::vector<Image> edges_and_grain(const glm::ivec2& size) {
    std::vector<Image> films(4, Image(size.x, size.y));
    std::minstd_rand random(7);
    const glm::ivec2 middle = size / 2;
    for (int y = 0; y < size.y; ++y)
        for (int x = 0; x < size.x; ++x) {
            const auto lit = [](bool is) { return glm::vec3(is ? 1.0f : 1e-3f); };
            films[0].at(x, y) = lit(x < middle.x);
            films[1].at(x, y) = lit(y <= middle.y);
            films[2].at(x, y) = lit(3 * (x - middle.x) + y - middle.y < 0);
            films[3].at(x, y) = glm::vec3(random() % 16 == 0 ? 1.0f : 1.0f / 3.0f);
        }
    return films;
}

double circle_mean(const Image& film, double r) {
    double sum = 0.0;
    constexpr int count = 256;
    for (int i = 0; i < count; ++i) {
        const double angle = 2.0 * pi * (i + 0.5) / count;
        const Vec2 at =
            Vec2(film.width / 2, film.height / 2) + r * Vec2(std::cos(angle), std::sin(angle));
        const Vec2 corner = glm::floor(at);
        const Vec2 part = at - corner;
        const auto x = static_cast<int>(corner.x), y = static_cast<int>(corner.y);
        const auto green = [&](int dx, int dy) {
            return static_cast<double>(film.at(x + dx, y + dy).g);
        };
        sum += glm::mix(glm::mix(green(0, 0), green(1, 0), part.x),
                        glm::mix(green(0, 1), green(1, 1), part.x), part.y);
    }
    return sum / count;
}

}  // namespace

TEST_CASE("the lens moves light and makes none") {
    for (const double f_number : {2.8, 22.0})
        for (const glm::ivec2 size : {glm::ivec2(121, 81), glm::ivec2(300, 200)}) {
            const Image film = point_at(size, size / 2, 3.0f);
            for (const auto spread_of : both_ways)
                CHECK_RELATIVE(sum_of(spread_of(camera_of(size), f_number, film)), sum_of(film),
                               1e-3);
        }
}

// What reaches a place from an even film everywhere is what a point there leaves in the frame.
TEST_CASE("at the edge just as much is lost as leaves the frame") {
    const glm::ivec2 size(300, 200);
    const Camera camera = camera_of(size);
    for (const auto spread_of : both_ways) {
        const Image even = spread_of(camera, 16.0, even_film(size));
        for (const glm::ivec2 at : {glm::ivec2(0, 100), glm::ivec2(299, 0), glm::ivec2(10, 199)}) {
            const Image film = point_at(size, at, 1.0f);
            const double left = sum_of(spread_of(camera, 16.0, film)) / sum_of(film);
            CHECK_WITHIN(left, static_cast<double>(even.at(at.x, at.y).g), 1e-3);
            CHECK(left > 0.9);
            CHECK(left < 0.999);
        }
        CHECK_WITHIN(static_cast<double>(even.at(150, 100).g), 1.0, 1e-3);
    }
}

TEST_CASE("an even film has no dark border") {
    const glm::ivec2 size(300, 200);
    Camera camera = camera_of(size);
    camera.sensor_mm = {1.8, 1.2};
    for (const auto spread_of : both_ways) {
        const Image film = spread_of(camera, 22.0, even_film(size));
        const auto green = [&](int x, int y) { return static_cast<double>(film.at(x, y).g); };
        CHECK(green(0, 100) > 0.9);
        CHECK_RELATIVE(green(0, 100), green(3, 100), 0.01);
        CHECK_RELATIVE(green(150, 199), green(150, 196), 0.01);
    }
}

TEST_CASE("no place is darker than black") {
    for (const glm::ivec2 size : {glm::ivec2(1, 1), glm::ivec2(7, 5), glm::ivec2(300, 200)}) {
        Image film(size.x, size.y);
        film.at(0, 0) = glm::vec3(5.0f);
        film.at(size.x / 2, size.y / 2) = glm::vec3(1e6f);
        for (const auto spread_of : both_ways)
            for (const double f_number : {2.8, 13.0, 22.0})
                for (const glm::vec3& pixel : spread_of(camera_of(size), f_number, film).pixels)
                    CHECK(std::min({pixel.r, pixel.g, pixel.b}) >= 0.0f);
    }
}

// 20 stops over 1: from the burnt core down, each circle is darker than the one within it, by no
// more than a power of its radius can make it.
TEST_CASE("light about a point 20 stops bright falls off without rings, boxes or steps") {
    for (const double f_number : {2.8, 8.0, 22.0}) {
        const glm::ivec2 size(960, 640);
        Camera camera = camera_of(size);
        camera.lens.blades = 0;
        const Image film =
            trails_spread(camera, f_number, point_at(size, size / 2, std::exp2(21.0f)));
        double before = circle_mean(film, 2.0);
        for (double r = 3.0; r < 310.0; r += 1.0) {
            const double here = circle_mean(film, r);
            CHECK(here < before);
            CHECK(here > before * std::pow((r - 1.0) / r, 5.0));
            before = here;
        }
        // A box about the light would show as a difference between its sides and its corners.
        for (const int r : {5, 12, 30, 75, 150}) {
            const auto at = [&](int x, int y) {
                return static_cast<double>(film.at(480 + x, 320 + y).g);
            };
            const int diagonal = static_cast<int>(std::lround(r * std::sqrt(0.5)));
            const double side = at(r, 0) * std::pow(r / (diagonal * std::sqrt(2.0)), 2.5);
            CHECK_RELATIVE(at(diagonal, diagonal), side, 0.12);
            CHECK_RELATIVE(at(-diagonal, diagonal), side, 0.12);
            CHECK_RELATIVE(at(0, r), at(r, 0), 0.12);
        }
    }
}

TEST_CASE("a pixel keeps its share of its own light") {
    const glm::ivec2 size(300, 200);
    const Image film = point_at(size, size / 2, 1.0f);
    const PointSpread spread(camera_of(size), 16.0);
    const Image laid = trails_spread(camera_of(size), 16.0, film);
    const double kept = static_cast<double>(spread.kept_share().r);
    const double found = static_cast<double>(laid.at(150, 100).r);
    CHECK(found >= kept);
    CHECK_WITHIN(found, kept, 0.01);
    double near = 0.0;
    for (int y = -8; y <= 8; ++y)
        for (int x = -8; x <= 8; ++x) near += static_cast<double>(laid.at(150 + x, 100 + y).r);
    CHECK_WITHIN(static_cast<double>(spread.near_share().r), near, 0.03);
}

TEST_CASE("the share of glare and its falloff are those asked for") {
    const glm::ivec2 size(300, 200);
    const Image film = point_at(size, size / 2, 1.0f);
    Camera camera = camera_of(size);
    const auto far_light = [&](double share, double falloff) {
        camera.lens.glare_share = share;
        camera.lens.glare_falloff = falloff;
        const Image spread = trails_spread(camera, 2.8, film);
        return static_cast<double>(spread.at(165, 100).r);
    };
    const double none = far_light(0.0, 2.0);
    CHECK_RELATIVE(far_light(0.1, 2.0) - none, 2.0 * (far_light(0.05, 2.0) - none), 0.01);
    CHECK(far_light(0.05, 3.0) < 0.6 * far_light(0.05, 2.0));
    // Nine Gaussians of even shares, each twice as wide: over many of them the sum is
    // share / (2 pi 9 ln 2) / r^2.
    CHECK_RELATIVE(far_light(0.05, 2.0) - none,
                   0.05 / (2.0 * pi * 9.0 * std::log(2.0)) / (15.0 * 15.0), 0.05);
}

TEST_CASE("any number of threads spreads light to the same bytes") {
    const glm::ivec2 size(200, 140);
    const Image film = point_at(size, {60, 50}, 1000.0f);
    for (const auto spread_of : both_ways) {
        std::optional<Image> alone;
        for (const std::size_t threads : {1u, 2u, 5u}) {
            const tbb::global_control limit(tbb::global_control::max_allowed_parallelism, threads);
            const Image spread = spread_of(camera_of(size), 13.0, film);
            if (!alone) alone = spread;
            CHECK(spread.pixels == alone->pixels);
        }
    }
}

// Strips of pictures of 24 and of 0.6 megapixels on 36 x 24 mm; the lit side is white.
TEST_CASE("surfaces look the same spread coarsely and finely: edges and grain") {
    const auto code = [](float light) {
        const double over_mid_grey = saturation_over_mid_grey * static_cast<double>(light);
        return 255.0 * srgb_encode(tone(std::min(over_mid_grey, saturation_over_mid_grey)));
    };
    for (const glm::ivec2 size : {glm::ivec2(72, 4000), glm::ivec2(72, 640)}) {
        Camera camera = camera_of(size);
        camera.sensor_mm = 24.0 / size.y * Vec2(size);
        for (const double f_number : {2.8, 13.0, 22.0}) {
            double most = 0.0;
            for (const Image& film : edges_and_grain(size)) {
                const Image coarse = surfaces_spread(camera, f_number, film);
                const Image fine = trails_spread(camera, f_number, film);
                for (int y = size.y / 2 - 30; y < size.y / 2 + 30; ++y)
                    for (int x = 0; x < size.x; ++x)
                        for (int c = 0; c < 3; ++c)
                            most = std::max(
                                most, std::abs(code(coarse.at(x, y)[c]) - code(fine.at(x, y)[c])));
            }
            CAPTURE(f_number);
            CAPTURE(size.y);
            CHECK(most < 0.5);
            CHECK(most > 0.01);  // the two ways are two
        }
    }
}
