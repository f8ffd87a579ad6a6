#include <doctest/doctest.h>

#include <array>
#include <cmath>
#include <initializer_list>

#include "scene/basics/noise.h"

using namespace lampflight;

TEST_CASE("noise has mean 0 and rms 1 as promised") {
    double sum_2d = 0.0, squares_2d = 0.0, sum_3d = 0.0, squares_3d = 0.0, squares_fractal = 0.0;
    constexpr int count = 200000;
    for (int i = 0; i < count; ++i) {
        // Steps that no cell repeats.
        const Vec3 p(i * 0.618034, i * 0.414214 - 900.0, i * 0.302776 - 50.0);
        const double a = gradient_noise(Vec2(p), 7), b = gradient_noise(p, 7);
        sum_2d += a;
        squares_2d += a * a;
        sum_3d += b;
        squares_3d += b * b;
        const double f = fractal_noise(p, 4, 0.5, 7);
        squares_fractal += f * f;
    }
    CHECK(std::abs(sum_2d / count) < 0.01);
    CHECK(std::abs(sum_3d / count) < 0.01);
    CHECK(std::sqrt(squares_2d / count) == doctest::Approx(1.0).epsilon(0.02));
    CHECK(std::sqrt(squares_3d / count) == doctest::Approx(1.0).epsilon(0.02));
    CHECK(std::sqrt(squares_fractal / count) == doctest::Approx(1.0).epsilon(0.02));
}

TEST_CASE("noise is smooth across cells, also below zero") {
    for (const double x : {-3.0, -1.0, 0.0, 2.0, 5.0}) {
        constexpr double step = 1e-6;
        CHECK(std::abs(gradient_noise(Vec2(x - step, 0.3), 1) -
                       gradient_noise(Vec2(x + step, 0.3), 1)) < 1e-4);
        CHECK(std::abs(gradient_noise(Vec3(0.4, x - step, 0.3), 1) -
                       gradient_noise(Vec3(0.4, x + step, 0.3), 1)) < 1e-4);
        CHECK(gradient_noise(Vec3(x, -2.0, 4.0), 1) == 0.0);  // nothing on the lattice itself
    }
}

TEST_CASE("noise repeats for a seed and differs between seeds") {
    const Vec3 p(1.3, -2.7, 0.4);
    CHECK(gradient_noise(p, 1) == gradient_noise(p, 1));
    CHECK(gradient_noise(p, 1) != gradient_noise(p, 2));
    CHECK(hash_cell(1, 2, 3, 4) != hash_cell(2, 1, 3, 4));
}

TEST_CASE("hashed shares spread evenly") {
    std::array<int, 10> tenths{};
    for (int x = 0; x < 100; ++x)
        for (int y = 0; y < 100; ++y) {
            const double share = hash_share(x - 50, y - 50, 3, 9);
            REQUIRE(share >= 0.0);
            REQUIRE(share < 1.0);
            ++tenths[static_cast<std::size_t>(share * 10.0)];
        }
    for (const int count : tenths) CHECK(std::abs(count - 1000) < 150);  // five sigma
}

TEST_CASE("a smooth step runs either way") {
    CHECK(smooth_step(1.0, 3.0, 0.5) == 0.0);
    CHECK(smooth_step(1.0, 3.0, 2.0) == 0.5);
    CHECK(smooth_step(1.0, 3.0, 4.0) == 1.0);
    CHECK(smooth_step(3.0, 1.0, 0.5) == 1.0);
    CHECK(smooth_step(3.0, 1.0, 4.0) == 0.0);
}
