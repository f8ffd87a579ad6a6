// Blur by depth on films made by hand: what it keeps, and what it draws.
#include "renderer/lens/depth_aware_blur.h"

#include <tbb/global_control.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "scene/basics/noise.h"
#include "tests/film.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

constexpr int width = 160;
constexpr int height = 120;

/// A film and the blur of each of its pixels.
struct Plate {
    Image film{width, height};
    FilmBuffer<float> blur_px = FilmBuffer<float>(static_cast<std::size_t>(width * height));

    float& blur(int x, int y) { return blur_px[static_cast<std::size_t>(y * width + x)]; }
    Image blurred() const { return DepthAwareBlur(width, height, blur_px).blurred(film); }
};

/// Rough light over steps and slopes of depth, with some pixels a thousand times as bright.
Plate thicket() {
    Plate plate;
    for (int y = 0; y < height; ++y)
        for (int x = 0; x < width; ++x) {
            const double light = hash_share(x, y, 0, 1u);
            plate.film.at(x, y) = glm::vec3(static_cast<float>(light > 0.99 ? 1000.0 : light));
            const bool before = hash_share(x / 9, y / 11, 1, 1u) > 0.6;
            plate.blur(x, y) = before ? -7.0f + 0.02f * static_cast<float>(x)
                                      : 0.1f * static_cast<float>(height - y);
        }
    return plate;
}

}  // namespace

TEST_CASE("exchange keeps the sum of light and turns none negative") {
    const Plate plate = thicket();
    const Image blurred = plate.blurred();
    CHECK_RELATIVE(sum_of(blurred), sum_of(plate.film), 1e-5);
    for (const glm::vec3& pixel : blurred.pixels) REQUIRE(pixel.g >= 0.0f);
}

TEST_CASE("even light stays even whatever the depths, to the frame's edge") {
    Plate plate = thicket();
    std::ranges::fill(plate.film.pixels, glm::vec3(0.3f));
    for (const glm::vec3& pixel : plate.blurred().pixels)
        CHECK_WITHIN(luminance_of(pixel), 0.3, 1e-5);
}

TEST_CASE("exchange gives the same bytes with any number of threads") {
    const Plate plate = thicket();
    const auto with_threads = [&](std::size_t threads) {
        const tbb::global_control limit(tbb::global_control::max_allowed_parallelism, threads);
        return plate.blurred();
    };
    CHECK(with_threads(1).pixels == with_threads(3).pixels);
}

TEST_CASE("discs of up to half a pixel leave every byte as it was") {
    Plate plate = thicket();
    for (float& blur_px : plate.blur_px) blur_px = std::clamp(blur_px, -0.5f, 0.5f);
    CHECK(plate.blurred().pixels == plate.film.pixels);
}

TEST_CASE("a sharp edge before a blurred background stays sharp, and no halo runs along it") {
    Plate plate;
    for (int y = 0; y < height; ++y)
        for (int x = 0; x < width; ++x) {
            const bool stone = x < 70;
            plate.blur(x, y) = stone ? 0.2f : 8.0f;
            plate.film.at(x, y) = glm::vec3(stone ? 0.01f : 0.5f);
        }
    const Image blurred = plate.blurred();
    for (int y = 0; y < height; ++y)
        for (int x = 0; x < width; ++x)
            CHECK_WITHIN(luminance_of(blurred.at(x, y)), x < 70 ? 0.01 : 0.5, 1e-5);
}

// Share of a disc of radius R on the far side of a line at t R from its middle:
// (acos t - t sqrt(1 - t^2)) / pi, the circular segment.
TEST_CASE("a blurred foreground lies over a sharp background as a disc over a line") {
    constexpr int edge = 80;
    constexpr double radius_px = 7.5;
    Plate plate;
    for (int y = 0; y < height; ++y)
        for (int x = 0; x < width; ++x) {
            plate.blur(x, y) = x < edge ? static_cast<float>(-radius_px) : 0.1f;
            plate.film.at(x, y) = glm::vec3(x < edge ? 0.0f : 1.0f);
        }
    const Image blurred = plate.blurred();
    for (int x = edge - 12; x < edge + 12; ++x) {
        const double t = std::clamp((edge - (x + 0.5)) / radius_px, -1.0, 1.0);
        const double shown = (std::acos(t) - t * std::sqrt(1.0 - t * t)) / pi;
        CHECK_WITHIN(luminance_of(blurred.at(x, height / 2)), shown, 0.02);
    }
}

// An even disc of radius R spreads a point to a mean square distance of R^2 / 2.
TEST_CASE("a point becomes a disc of its blur's radius, also where discs are thinned") {
    for (const float radius_px : {1.5f, 4.0f, 7.9f, 12.0f, 25.0f}) {
        Plate plate;
        plate.film.at(80, 60) = glm::vec3(1000.0f);
        const float gap_px = DepthAwareBlur::smoothing_px(radius_px);
        std::ranges::fill(plate.blur_px, std::sqrt(radius_px * radius_px - gap_px * gap_px));
        Plate smoothed = plate;
        smoothed.film = plate.blurred();
        std::ranges::fill(smoothed.blur_px, gap_px);
        const Image disc = smoothed.blurred();
        double sum = 0.0, square = 0.0;
        for (int y = 0; y < height; ++y)
            for (int x = 0; x < width; ++x) {
                const double light = luminance_of(disc.at(x, y));
                sum += light;
                square += light * ((x - 80) * (x - 80) + (y - 60) * (y - 60));
            }
        CHECK_RELATIVE(sum, 1000.0, 1e-5);
        CHECK_RELATIVE(std::sqrt(2.0 * square / sum), static_cast<double>(radius_px), 0.03);
    }
}
