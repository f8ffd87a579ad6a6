// Straying against what its keys say: closed forms of the Gaussian process and of the held drone.
#include "scene/flights/straying.h"

#include <array>
#include <cmath>
#include <complex>
#include <vector>

#include "scene/basics/angle.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

constexpr int many = 1000;

Vec3 squared(const Vec3& v) {
    return v * v;
}

/// Mean square of a quantity over many seeds, at times far from each other.
template <class Of>
Vec3 mean_square(const StrayingSize& size, const Of& of) {
    Vec3 sum(0.0);
    constexpr int times = 16;
    for (int seed = 1; seed <= many; ++seed) {
        const Straying strays(size, static_cast<std::uint64_t>(seed));
        for (int i = 0; i < times; ++i) sum += squared(of(strays, 53.0 * i));
    }
    return sum / (1.0 * many * times);
}

StrayingSize windy() {
    StrayingSize size;
    size.gust_m_s = 6.0;
    size.gust_s = 5.0;
    size.wind_m_s = {6.0, 0.0, 0.0};
    size.downwind = {1.0, 0.0, 0.0};
    size.drag_per_m = 0.01;
    return size;
}

}  // namespace

TEST_CASE("wander is as large as its key says: half of it up") {
    const StrayingSize size{.wander_m = 0.4, .wander_s = 3.0};
    const Vec3 square = mean_square(
        size, [](const Straying& strays, double time_s) { return strays.offset_m(time_s); });
    // A thousand seeds leave 0.5 % of an rms to chance.
    CHECK_RELATIVE(std::sqrt(square.x), 0.4, 0.03);
    CHECK_RELATIVE(std::sqrt(square.y), 0.4, 0.03);
    CHECK_RELATIVE(std::sqrt(square.z), 0.2, 0.03);
    CHECK_WITHIN(astray_rms_m(size), 0.4, 1e-12);
}

TEST_CASE("wander's spectrum, band by band, is that of its correlation time") {
    const double wander_s = 4.0;
    constexpr std::size_t count = 256;
    const double step_s = wander_s / 4.0;
    const double bin_hz = 1.0 / (count * step_s);
    std::array<double, 65> power{};  // one-sided density at each bin, of variance 1
    for (int seed = 1; seed <= many; ++seed) {
        const Straying strays({.wander_m = 1.0, .wander_s = wander_s},
                              static_cast<std::uint64_t>(seed));
        const std::vector<Vec3> offsets = strays.offsets_m(0.0, step_s, count);
        for (std::size_t bin = 1; bin < power.size(); ++bin) {
            std::complex<double> turn = 1.0;
            const auto by = std::polar(1.0, 2.0 * pi * static_cast<double>(bin) / count);
            std::array<std::complex<double>, 3> sum{};
            for (std::size_t i = 0; i < count; ++i, turn *= by) {
                const double window =  // Hann's
                    1.0 - std::cos(2.0 * pi * (static_cast<double>(i) + 0.5) / count);
                for (int axis = 0; axis < 3; ++axis)
                    sum[static_cast<std::size_t>(axis)] += window * offsets[i][axis] * turn;
            }
            // The mean of the window's square is 3/2; up is half, so a quarter of the power.
            const double squares = std::norm(sum[0]) + std::norm(sum[1]) + 4.0 * std::norm(sum[2]);
            power[bin] += 2.0 * step_s / (1.5 * count) * squares / (3.0 * many);
        }
    }
    for (const auto& [from_share, to_share] :
         {std::pair{0.05, 0.17}, std::pair{0.17, 0.29}, std::pair{0.29, 0.47}}) {
        double measured = 0.0, expected = 0.0;
        for (std::size_t bin = 1; bin < power.size(); ++bin) {
            const double share = static_cast<double>(bin) * bin_hz * wander_s;
            if (share < from_share || share >= to_share) continue;
            measured += power[bin];
            // Transform of s^2 exp(-pi t^2 / (4 T^2)), any table of Fourier transforms.
            expected += 4.0 * wander_s * std::exp(-4.0 * pi * share * share);
        }
        CAPTURE(expected);
        CHECK_RELATIVE(measured, expected, 0.03);
    }
}

TEST_CASE("the integral of wander's autocorrelation is its correlation time") {
    const double wander_s = 6.0;
    constexpr std::size_t per_s = 2, lags = 48, count = 240;  // lags as far as 4 T
    std::array<double, lags + 1> correlation{};
    for (int seed = 1; seed <= many; ++seed) {
        const Straying strays({.wander_m = 1.0, .wander_s = wander_s},
                              static_cast<std::uint64_t>(seed));
        const std::vector<Vec3> offsets = strays.offsets_m(0.0, 1.0 / per_s, count);
        for (std::size_t lag = 0; lag <= lags; ++lag)
            for (std::size_t i = 0; i + lags < count; ++i)
                correlation[lag] += glm::dot(Vec2(offsets[i]), Vec2(offsets[i + lag]));
    }
    double integral = 0.5 * correlation.front();
    for (std::size_t lag = 1; lag <= lags; ++lag) integral += correlation[lag];
    // Some 2 % of it are left to chance: long lags tell little.
    CHECK_RELATIVE(integral / correlation.front() / per_s, wander_s, 0.05);
    // At the lag T it is exp(-pi / 4).
    CHECK_WITHIN(correlation[12] / correlation.front(), std::exp(-0.25 * pi), 0.02);
}

TEST_CASE("acceleration is the second difference of what a drone strays") {
    StrayingSize size = windy();
    size.wander_m = 0.5;
    size.wander_s = 2.0;
    const Straying strays(size, 7);
    constexpr double step_s = 1e-3;
    for (const double time_s : {-40.0, 0.0, 3.3, 25.0, 3600.0}) {
        const Vec3 difference = strays.offset_m(time_s + step_s) - 2.0 * strays.offset_m(time_s) +
                                strays.offset_m(time_s - step_s);
        CHECK_WITHIN(strays.acceleration_m_s2(time_s), difference / (step_s * step_s), 1e-5);
    }
}

TEST_CASE("a seed makes one path, another seed another") {
    const StrayingSize size{.wander_m = 0.3, .wander_s = 4.0};
    const Straying one(size, 11), same(size, 11), other(size, 12);
    for (const double time_s : {-5.0, 0.0, 12.5, 600.0}) {
        CHECK(one.offset_m(time_s) == same.offset_m(time_s));
        CHECK(glm::distance(one.offset_m(time_s), other.offset_m(time_s)) > 1e-3);
    }
    // The same goes wider, and slower.
    const Straying wide({.wander_m = 0.6, .wander_s = 4.0}, 11);
    const Straying slow({.wander_m = 0.3, .wander_s = 8.0}, 11);
    CHECK_WITHIN(wide.offset_m(9.0), 2.0 * one.offset_m(9.0), 1e-12);
    CHECK_WITHIN(slow.offset_m(18.0), one.offset_m(9.0), 1e-12);
    // Gusts leave the wander as it is.
    StrayingSize gusty = windy();
    gusty.wander_m = 0.3;
    const Straying both(gusty, 11), gusts(windy(), 11);
    CHECK_WITHIN(both.offset_m(4.0), one.offset_m(4.0) + gusts.offset_m(4.0), 1e-12);
    CHECK(one.gust_m_s(4.0) == Vec3(0.0));
}

TEST_CASE("offsets at even times are those one by one") {
    StrayingSize size = windy();
    size.wander_m = 0.5;
    const Straying strays(size, 3);
    const std::vector<Vec3> offsets = strays.offsets_m(-2.0, 0.037, 4000);
    for (std::size_t i = 0; i < offsets.size(); i += 171)
        CHECK_WITHIN(offsets[i], strays.offset_m(-2.0 + 0.037 * static_cast<double>(i)), 1e-9);
}

TEST_CASE("gusts have a third of their peak as rms, four fifths of it across the wind") {
    // Peak factor 3, common practice; across by IEC 61400-1 (from memory).
    const Vec3 square = mean_square(
        windy(), [](const Straying& strays, double time_s) { return strays.gust_m_s(time_s); });
    CHECK_RELATIVE(std::sqrt(square.x), 2.0, 0.03);
    CHECK_RELATIVE(std::sqrt(square.y), 1.6, 0.03);
    CHECK(square.z == 0.0);
}

TEST_CASE("gusts push a drone that holds its place as a damped oscillator") {
    // x'' + 2 d w x' + w^2 x = push, w = 1 rad/s and d = 1; linear drag along the wind 2 k U,
    // across k U.
    const StrayingSize size = windy();
    const Straying strays(size, 5);
    const double speed_m_s = std::hypot(6.0, 2.0);
    constexpr double step_s = 1e-4;
    for (const double time_s : {0.0, 4.0, 17.7, 300.0}) {
        const Vec3 velocity =
            (strays.offset_m(time_s + step_s) - strays.offset_m(time_s - step_s)) / (2.0 * step_s);
        const Vec3 left =
            strays.acceleration_m_s2(time_s) + 2.0 * velocity + strays.offset_m(time_s);
        const Vec3 gust = strays.gust_m_s(time_s);
        CHECK_WITHIN(left, 0.01 * speed_m_s * Vec3(2.0 * gust.x, gust.y, 0.0), 1e-7);
    }
    const Vec3 square = mean_square(
        size, [](const Straying& held, double time_s) { return held.offset_m(time_s); });
    CHECK_RELATIVE(std::sqrt(square.x), astray_rms_m(size), 0.03);
    // In still air as well they push.
    StrayingSize still = size;
    still.wind_m_s = Vec3(0.0);
    CHECK(astray_rms_m(still) > 0.01);
    CHECK(astray_rms_m(still) < astray_rms_m(size));
}
