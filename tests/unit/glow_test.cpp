#include "renderer/glow.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "scene/angle.h"
#include "tests/film.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

Image point_in_the_middle(int width, int height) {
    Image film(width, height);
    film.at(width / 2, height / 2) = {3.0f, 2.0f, 1.0f};
    return film;
}

Image with_glow(const Image& film) {
    const Glow glow(film.width, film.height,
                    [&](int y, Row row) { std::ranges::copy(film.row(y), row.begin()); });
    Image sum = film;
    for (int y = 0; y < film.height; ++y) glow.lay_on(y, sum.row(y));
    return sum;
}

/// The change that the glow makes.
Image glow_of(const Image& film) {
    Image change = with_glow(film);
    for (std::size_t i = 0; i < change.pixels.size(); ++i) change.pixels[i] -= film.pixels[i];
    return change;
}

double circle_mean(const Image& film, double x, double y, double r) {
    double sum = 0.0;
    constexpr int count = 64;
    for (int i = 0; i < count; ++i) {
        const double angle = 2.0 * pi * (i + 0.5) / count;
        sum += static_cast<double>(film.at(static_cast<int>(std::floor(x + r * std::cos(angle))),
                                           static_cast<int>(std::floor(y + r * std::sin(angle))))
                                       .g);
    }
    return sum / count;
}

}  // namespace

TEST_CASE("glow moves light and makes none") {
    for (const glm::ivec2 size :
         {glm::ivec2(121, 81), glm::ivec2(300, 200), glm::ivec2(960, 640)}) {
        const Image film = point_in_the_middle(size.x, size.y);
        CHECK_RELATIVE(sum_of(with_glow(film)), sum_of(film), 1e-3);
    }
}

TEST_CASE("no place is darker than black with its glow") {
    for (const glm::ivec2 size : {glm::ivec2(1, 1), glm::ivec2(7, 5), glm::ivec2(300, 200)}) {
        Image film(size.x, size.y);
        film.at(0, 0) = glm::vec3(5.0f);
        film.at(size.x / 2, size.y / 2) = glm::vec3(100.0f);
        for (const glm::vec3& pixel : with_glow(film).pixels)
            CHECK(std::min({pixel.r, pixel.g, pixel.b}) >= 0.0f);
    }
}

// Gaussians of 3, 1.5, 0.9 and 0.6 % with deviations of 0.15, 0.6, 3 and 12 % of the height, as the
// header states by eye; the sum at a distance r is derived from them.
TEST_CASE("glow about a point falls off smoothly, alike all round") {
    const Image glow = glow_of(point_in_the_middle(900, 600));
    constexpr std::array<std::array<double, 2>, 4> halos{
        {{0.0015, 0.030}, {0.006, 0.015}, {0.03, 0.009}, {0.12, 0.006}}};
    const auto expected = [&](double r_px) {
        double sum = 0.0;
        for (const auto& [deviation, share] : halos) {
            const double s = deviation * 600.0;
            sum += share * std::exp(-r_px * r_px / (2.0 * s * s)) / (2.0 * pi * s * s);
        }
        return 2.0 * sum;  // the point's green
    };
    // On each side, and about the point; smaller sizes move the widest halos by a pixel at most.
    for (int r = 4; r < 150; ++r) {
        for (const glm::ivec2 side :
             {glm::ivec2(1, 0), glm::ivec2(-1, 0), glm::ivec2(0, 1), glm::ivec2(0, -1)}) {
            const auto level = static_cast<double>(glow.at(450 + r * side.x, 300 + r * side.y).g);
            CHECK_RELATIVE(level, expected(r), 0.1);
        }
        CHECK_RELATIVE(circle_mean(glow, 450.5, 300.5, r), expected(r), 0.05);
        CHECK(glow.at(450 + r, 300).g < glow.at(450 + r - 1, 300).g);
    }
}

TEST_CASE("an even film keeps its level away from the edges") {
    Image film(600, 400);
    std::ranges::fill(film.pixels, glm::vec3(2.0f));
    const Image glow = glow_of(film);
    CHECK_WITHIN(static_cast<double>(glow.at(300, 200).g), 0.0, 1e-4);
    CHECK(glow.at(0, 0).g < 0.0f);  // the edge loses light outwards
    CHECK(glow.at(0, 0).g > -0.06f * 2.0f);
}
