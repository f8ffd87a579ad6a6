// The sensor's noise in counts and in pictures, against the Poisson distribution and the sum of
// squares: variance = electrons of light and dark + reading noise squared.
#include "renderer/develop/sensor_noise.h"
#include "renderer/develop/photograph.h"

#include <oneapi/tbb/global_control.h>

#include <algorithm>
#include <cmath>

#include "scene/basics/colour.h"
#include "tests/film.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

struct Moments {
    double mean = 0.0;
    double variance = 0.0;
};

template <class Values>
Moments moments_of(const Values& values) {
    Moments moments;
    for (const auto value : values) moments.mean += static_cast<double>(value);
    moments.mean /= static_cast<double>(values.size());
    for (const auto value : values)
        moments.variance += std::pow(static_cast<double>(value) - moments.mean, 2.0);
    moments.variance /= static_cast<double>(values.size());
    return moments;
}

std::vector<float> deviates_of(double mean_e, double read_e, std::uint32_t key = 11) {
    constexpr std::size_t count = 1'000'000;
    std::vector<float> deviates(count);
    draw_deviates(std::vector<float>(count, static_cast<float>(mean_e)),
                  static_cast<float>(read_e * read_e), key, 0, deviates);
    return deviates;
}

/// An even grey film under a balance that leaves the sensor's colours as they are.
struct EvenPicture {
    Shoot shoot;
    ExposedTake take;

    EvenPicture(const glm::ivec2& pixels, double across, double mean_e) {
        shoot.camera.pixels = pixels;
        shoot.camera.sensor_mm = Vec2(pixels) * 0.006 * across;
        shoot.camera.sensor_pixels_across = across;
        const auto lxs = static_cast<float>(mean_e / electrons(shoot.camera, 1.0));
        Image film(pixels.x, pixels.y);
        std::ranges::fill(film.pixels, glm::vec3(lxs));
        take = {"take", {.shutter_s = 20.0, .f_number = 8.0, .iso = 400.0}, pixels, {}};
        take.layers.emplace_back().films = {{std::make_shared<const Image>(std::move(film)), 1.0f}};
    }

    /// Noise of every pixel by the sensor's colours, over what is foretold for a sensor pixel.
    std::array<std::vector<double>, 3> noise() const {
        const Image noisy = photograph(shoot, {take}, Noise::counted);
        const Image clean = photograph(shoot, {take}, Noise::left_out);
        const Vec3 gains = white_balance_gains({shoot.camera.white_balance_k, 0.0});
        const double grey_lxs = mid_grey_lxs(take.settings.iso);
        std::array<std::vector<double>, 3> over_foretold;
        for (std::size_t i = 0; i < noisy.pixels.size(); ++i) {
            const Vec3 counted = sensor_from_rgb() * Vec3(noisy.pixels[i]) / gains * grey_lxs;
            const Vec3 meant = sensor_from_rgb() * Vec3(clean.pixels[i]) / gains * grey_lxs;
            for (int c = 0; c < 3; ++c) {
                const double foretold_lxs =
                    noise_electrons(shoot.camera, meant[c], take.settings.shutter_s) /
                    electrons(shoot.camera, 1.0);
                over_foretold[static_cast<std::size_t>(c)].push_back((counted[c] - meant[c]) /
                                                                     foretold_lxs);
            }
        }
        return over_foretold;
    }
};

/// Variance of means over side x side pixels.
double variance_of_blocks(const std::vector<double>& values, int width, int side) {
    std::vector<double> means;
    const int height = static_cast<int>(values.size()) / width;
    for (int y = 0; y + side <= height; y += side)
        for (int x = 0; x + side <= width; x += side) {
            double sum = 0.0;
            for (int i = 0; i < side * side; ++i)
                sum += values[static_cast<std::size_t>((y + i / side) * width + x + i % side)];
            means.push_back(sum / (side * side));
        }
    return moments_of(means).variance;
}

double correlation(const std::vector<double>& one, const std::vector<double>& other, int width,
                   const glm::ivec2& shift) {
    const int height = static_cast<int>(one.size()) / width;
    double sum = 0.0;
    double squares = 0.0;
    for (int y = 0; y + shift.y < height; ++y)
        for (int x = 0; x + shift.x < width; ++x) {
            const double here = one[static_cast<std::size_t>(y * width + x)];
            sum += here * other[static_cast<std::size_t>((y + shift.y) * width + x + shift.x)];
            squares += here * here;
        }
    return sum / squares;
}

}  // namespace

TEST_CASE("a million counts have the mean and the variance of Poisson plus reading") {
    for (const double read_e : {0.0, 3.0})
        for (const double mean_e : {0.5, 2.0, 5.9, 6.1, 20.0, 300.0, 1e4, 1e5}) {
            const double foretold = mean_e + read_e * read_e;
            const Moments drawn = moments_of(deviates_of(mean_e, read_e));
            const double mean = mean_e + std::sqrt(foretold) * drawn.mean;
            // A million counts know their mean to a thousandth of their noise.
            CHECK_WITHIN(mean, mean_e, std::max(0.001 * mean_e, 4e-3 * std::sqrt(foretold)));
            CHECK_RELATIVE(foretold * drawn.variance, foretold, 0.01);
        }
}

TEST_CASE("few counts are whole and fall as Poisson's do") {
    // Mean 2: none 0.1353, one 0.2707, two 0.2707, three 0.1804 (e^-2 times 1, 2, 2, 4/3).
    const std::vector<float> deviates = deviates_of(2.0, 0.0);
    std::array<int, 4> found{};
    for (const float deviate : deviates) {
        const double count = 2.0 + std::sqrt(2.0) * static_cast<double>(deviate);
        if (!(std::abs(count - std::round(count)) < 1e-5)) FAIL("count ", count);
        if (count < 3.5) ++found[static_cast<std::size_t>(std::lround(count))];
    }
    const double none = std::exp(-2.0);
    CHECK_WITHIN(found[0] * 1e-6, none, 2e-3);
    CHECK_WITHIN(found[1] * 1e-6, 2.0 * none, 2e-3);
    CHECK_WITHIN(found[2] * 1e-6, 2.0 * none, 2e-3);
    CHECK_WITHIN(found[3] * 1e-6, 4.0 / 3.0 * none, 2e-3);
    CHECK(moments_of(deviates_of(0.0, 0.0)).variance == 0.0);
}

TEST_CASE("a reduced picture's pixel joins a quarter of its sensor pixels in red, half in green") {
    constexpr double across = 4.0;
    for (const double mean_e : {0.5, 40.0, 2000.0}) {
        const EvenPicture picture({1000, 1000}, across, mean_e);
        const auto noise = picture.noise();
        const Vec3 joined = across * across * Vec3(0.25, 0.5, 0.25);
        for (int c = 0; c < 3; ++c) {
            const Moments found = moments_of(noise[static_cast<std::size_t>(c)]);
            CHECK_WITHIN(found.mean, 0.0, 4e-3);
            CHECK_RELATIVE(found.variance * joined[c], 1.0, 0.01);
        }
    }
}

TEST_CASE("where every pixel is the sensor's, colours not counted are lent by neighbours") {
    const EvenPicture picture({1000, 1000}, 1.0, 200.0);
    const auto noise = picture.noise();
    // Red and blue 10/16 along each way; green 0.603. Alike in all four places.
    const auto in_place = [&](const std::vector<double>& values, std::size_t place) {
        std::vector<double> there;
        for (std::size_t y = place / 2; y < 1000; y += 2)
            for (std::size_t x = place % 2; x < 1000; x += 2) there.push_back(values[1000 * y + x]);
        return moments_of(there).variance;
    };
    for (std::size_t place = 0; place < 4; ++place) {
        CHECK_RELATIVE(in_place(noise[0], place), 0.625 * 0.625, 0.02);
        CHECK_RELATIVE(in_place(noise[1], place), 0.603, 0.02);
        CHECK_RELATIVE(in_place(noise[2], place), 0.625 * 0.625, 0.02);
    }
    // Looked at from afar, only a quarter or half of the pixels have counted: 4 and 2 a pixel. Red
    // lends across the edges of a block: along a side of 10, squares of 18.25 for 20.
    constexpr int side = 10;
    constexpr double lent = 18.25 / 20.0 * 18.25 / 20.0;
    const double chance = 0.06;  // four standard errors of 10000 blocks
    CHECK_RELATIVE(variance_of_blocks(noise[0], 1000, side) * side * side, 4.0 * lent, chance);
    CHECK_RELATIVE(variance_of_blocks(noise[1], 1000, side) * side * side, 2.0, chance + 0.1);
}

TEST_CASE("a reduced picture is as quiet as the whole one averaged down") {
    const auto whole = EvenPicture({1200, 1200}, 1.0, 50.0).noise();
    const auto reduced = EvenPicture({150, 150}, 8.0, 50.0).noise();
    // What red and blue lend across the blocks' edges is averaged once more. Along a side of 8,
    // places count 0.25, 1.75, 2, 2, 1.75 and 0.25 times: squares of 14.25, where 16 would be
    // without.
    constexpr double lent = 14.25 / 16.0 * 14.25 / 16.0;
    for (const std::size_t c : {0u, 2u})
        CHECK_RELATIVE(variance_of_blocks(whole[c], 1200, 8),
                       lent * moments_of(reduced[c]).variance, 0.05);
    CHECK_RELATIVE(variance_of_blocks(whole[1], 1200, 8), moments_of(reduced[1]).variance, 0.15);
}

TEST_CASE("noise has no pattern: pixels, colours and takes know nothing of each other") {
    EvenPicture picture({1000, 700}, 3.0, 12.0);
    const auto noise = picture.noise();
    const double chance = 5.0 / std::sqrt(700'000.0);
    for (const glm::ivec2 shift :
         {glm::ivec2(1, 0), {0, 1}, {1, 1}, {2, 0}, {0, 2}, {64, 0}, {0, 32}, {13, 7}})
        for (std::size_t c = 0; c < 3; ++c)
            CHECK_WITHIN(correlation(noise[c], noise[c], 1000, shift), 0.0, chance);
    CHECK_WITHIN(correlation(noise[0], noise[1], 1000, {0, 0}), 0.0, chance);
    CHECK_WITHIN(correlation(noise[1], noise[2], 1000, {0, 0}), 0.0, chance);
    picture.take.name = "another";
    CHECK_WITHIN(correlation(noise[1], picture.noise()[1], 1000, {0, 0}), 0.0, chance);
    picture.take.name = "take";
    picture.shoot.photograph.noise_seed = 2;
    const auto other = picture.noise();
    CHECK_WITHIN(correlation(noise[1], other[1], 1000, {0, 0}), 0.0, chance);
    CHECK_RELATIVE(moments_of(other[1]).variance, moments_of(noise[1]).variance, 0.01);
}

TEST_CASE("the same noise with any number of threads and again") {
    for (const double across : {1.0, 3.0}) {
        const EvenPicture even({333, 131}, across, 3.0);
        const Image once = photograph(even.shoot, {even.take}, Noise::counted);
        CHECK(once.pixels != photograph(even.shoot, {even.take}, Noise::left_out).pixels);
        for (const std::size_t threads : {1u, 2u, 5u}) {
            const tbb::global_control limit(tbb::global_control::max_allowed_parallelism, threads);
            CHECK(photograph(even.shoot, {even.take}, Noise::counted).pixels == once.pixels);
        }
    }
}

TEST_CASE("a mean of takes is quieter by the root of their number, lighten lifts the blacks") {
    EvenPicture dark({600, 400}, 3.0, 0.0);
    dark.shoot.photograph.blend = Blend::mean;
    std::vector<ExposedTake> takes;
    for (const char* name : {"a", "b", "c", "d"}) {
        takes.push_back(dark.take);
        takes.back().name = name;
    }
    const auto greens = [&](const std::vector<ExposedTake>& of) {
        std::vector<double> values;
        for (const glm::vec3& pixel : photograph(dark.shoot, of, Noise::counted).pixels)
            values.push_back(static_cast<double>(pixel.g));
        return moments_of(values);
    };
    const Moments one = greens({takes[0]});
    const Moments four = greens(takes);
    CHECK_RELATIVE(four.variance, one.variance / 4.0, 0.03);
    CHECK_WITHIN(four.mean, 0.0, 0.01 * std::sqrt(one.variance));
    // The greatest of four normal deviates is 1.0294 on average (Tippett 1925, Biometrika 17).
    dark.shoot.photograph.blend = Blend::lighten;
    CHECK_RELATIVE(greens(takes).mean, 1.0294 * std::sqrt(one.variance), 0.03);
}
