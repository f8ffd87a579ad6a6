#include "renderer/develop/tone.h"

#include <algorithm>

#include "renderer/sampling/low_discrepancy.h"
#include "scene/camera/exposure.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

Image even_film(int width, int height, float over_mid_grey) {
    Image film(width, height);
    std::ranges::fill(film.pixels, glm::vec3(over_mid_grey));
    return film;
}

double mean_code(float over_mid_grey) {
    double sum = 0.0;
    const auto bytes = develop_srgb8(even_film(128, 128, over_mid_grey));
    for (const std::uint8_t byte : bytes) sum += byte;
    return sum / static_cast<double>(bytes.size());
}

}  // namespace

// Mid-grey at 10 / S is code 118 (standard output sensitivity of ISO 12232; the code from memory of
// that text), saturation at 78 / S is white.
TEST_CASE("mid-grey becomes code 118, saturation white") {
    for (const double iso : {100.0, 1600.0, 6400.0}) {
        const double grey = 10.0 / iso / mid_grey_lxs(iso);
        const double white = 78.0 / iso / mid_grey_lxs(iso);
        CHECK_WITHIN(255.0 * srgb_encode(tone(grey)), 118.0, 1e-9);
        CHECK(tone(white) == 1.0);
        CHECK_WITHIN(white, saturation_over_mid_grey, 1e-12);
    }
    CHECK_WITHIN(tone(1.0), 0.181164244, 1e-8);
}

TEST_CASE("the curve rises, bends without a kink, and is straight through mid-grey") {
    double before = tone(0.0);
    CHECK(before == 0.0);
    for (int i = 1; i <= 10000; ++i) {
        const double here = tone(i * 1e-3);
        CHECK((i * 1e-3 > saturation_over_mid_grey ? here >= before : here > before));
        before = here;
    }
    constexpr double step = 1e-4;
    double slope = (tone(2.0 * step) - tone(step)) / step;
    for (double x = 2.0 * step; x < 9.0; x += step) {
        const double next = (tone(x + step) - tone(x)) / step;
        // At most twice the curve's own bend over one step: a kink would jump by far more.
        CHECK(std::abs(next - slope) < 2e-4);
        slope = next;
    }
    CHECK_RELATIVE(tone(0.25), 0.25 * tone(1.0), 1e-12);
    CHECK_RELATIVE(tone(2.0), 2.0 * tone(1.0), 1e-12);
}

TEST_CASE("tone of what is no light") {
    CHECK(tone(-1.0) == 0.0);
    CHECK(tone(std::nan("")) == 0.0);
    CHECK(tone(1e30) == 1.0);
}

TEST_CASE("dither keeps the mean and stays within a code") {
    for (const double level : {0.011, 0.2, 0.7, 1.0, 1.93, 5.0}) {
        const double code = 255.0 * srgb_encode(tone(level));
        // The mean of 128 x 128 even draws of half a code: its own error is 0.29 / 128.
        CHECK_WITHIN(mean_code(static_cast<float>(level)), code, 0.01);
        for (const std::uint8_t byte : develop_srgb8(even_film(16, 16, static_cast<float>(level))))
            CHECK(std::abs(byte - code) <= 1.0);
    }
}

TEST_CASE("codes follow the curve to a twentieth of a code") {
    constexpr int count = 40000;
    Image film(count, 1);
    for (int x = 0; x < count; ++x)
        film.at(x, 0) = glm::vec3(static_cast<float>(8.0 * std::pow((x + 1.0) / count, 3.0)));
    const auto bytes = develop_srgb8(film);
    for (int x = 0; x < count; ++x) {
        const double code = 255.0 * srgb_encode(tone(static_cast<double>(film.at(x, 0).g)));
        if (code >= 255.0) continue;
        const double dither =
            static_cast<double>(hashed_place(static_cast<std::uint32_t>(x), 0)) - 0.5;
        const double off =
            bytes[3 * static_cast<std::size_t>(x)] - std::clamp(code + dither, 0.0, 255.0);
        CHECK(std::abs(off) <= 0.55);
    }
}

TEST_CASE("black and white stay without dither") {
    for (const std::uint8_t byte : develop_srgb8(even_film(16, 16, 0.0f))) CHECK(byte == 0);
    for (const std::uint8_t byte : develop_srgb8(even_film(16, 16, 7.8f))) CHECK(byte == 255);
    for (const std::uint8_t byte : develop_srgb8(even_film(16, 16, 1e9f))) CHECK(byte == 255);
}

TEST_CASE("channels keep their places, rows run from the top") {
    Image film(2, 2);
    film.at(1, 0) = {0.0f, 8.0f, 0.0f};
    film.at(0, 1) = {8.0f, 0.0f, 0.0f};
    CHECK(develop_srgb8(film) == std::vector<std::uint8_t>{0, 0, 0, 0, 255, 0, 255, 0, 0, 0, 0, 0});
}
