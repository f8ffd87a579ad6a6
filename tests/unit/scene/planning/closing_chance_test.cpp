// In how many goes a line closes, against counts of independent normal numbers.
#include "scene/planning/closing_chance.h"

#include <algorithm>
#include <cmath>
#include <random>

#include "scene/basics/angle.h"
#include "scene/planning/shoot_figures.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

/// A wide lap, in just the exposure.
PlacedShoot wide_lap(std::optional<double> wander_m, double gap_m) {
    PlacedShoot shoot;
    shoot.camera.shutter_s = 60.0;
    Flight flight;
    flight.name = "halo";
    flight.radius_m = 40.0;
    flight.lap_s = 60.0;
    flight.wander_m = wander_m;
    flight.gap_m = gap_m;
    shoot.flights = {flight};
    Take take;
    take.name = "one";
    take.flights = {"halo"};
    shoot.takes = {take};
    return shoot;
}

std::optional<ClosingChance> chance_of(const PlacedShoot& shoot) {
    const Take& take = shoot.takes.front();
    return closing_chance(shoot, take, flown_flights(shoot, take).front());
}

}  // namespace

TEST_CASE("the Wilson interval is that of published examples") {
    // Newcombe 1998, Statistics in Medicine 17, 857-872, table I, score method (from memory).
    struct Row {
        int count, of;
        double low, high;
    };
    for (const Row& row : {Row{81, 263, 0.2553, 0.3662}, Row{15, 148, 0.0624, 0.1605},
                           Row{0, 20, 0.0, 0.1611}, Row{1, 29, 0.0061, 0.1718}}) {
        CHECK_WITHIN(wilson_95(row.count, row.of).low, row.low, 5e-5);
        CHECK_WITHIN(wilson_95(row.count, row.of).high, row.high, 5e-5);
    }
    CHECK_WITHIN(wilson_95(200, 200).high, 1.0, 1e-12);
}

TEST_CASE("a wide lap closes as often as two ends apart by chance do") {
    // Far apart in time the ends stray independently, so their difference has twice the variance:
    // east and north alike, up a quarter of it. Where the end overshoots, the line passes by.
    std::mt19937_64 random(1);
    std::normal_distribution<double> normal;
    constexpr int count = 200000;
    for (const double gap_m : {0.3, 0.6}) {
        const double rms_m = 0.4;
        int closes = 0;
        for (int i = 0; i < count; ++i) {
            const double along_m = rms_m * std::sqrt(2.0) * normal(random);
            const double across_m = std::hypot(rms_m * std::sqrt(2.0) * normal(random),
                                               rms_m * std::sqrt(0.5) * normal(random));
            closes += (along_m > 0.0 ? across_m : std::hypot(across_m, along_m)) <= gap_m;
        }
        const auto chance = chance_of(wide_lap(rms_m, gap_m));
        REQUIRE(chance.has_value());
        CHECK(chance->flights == 200);
        CHECK(chance->wander_m == rms_m);
        CHECK(chance->gap_m == gap_m);
        CAPTURE(chance->chance());
        const double expected = 1.0 * closes / count;
        // Three standard deviations of 200 goes.
        CHECK_WITHIN(chance->chance(), expected,
                     3.0 * std::sqrt(expected * (1.0 - expected) / 200.0));
        CHECK(chance->range.low < chance->chance());
        CHECK(chance->range.high > chance->chance());
        CHECK((chance->median_m <= gap_m) == (chance->closed >= 100));
    }
}

TEST_CASE("a steady drone closes every line, and none that the shutter leaves open") {
    PlacedShoot shoot = wide_lap(0.01, 0.3);
    CHECK(chance_of(shoot)->closed == 200);
    shoot.camera.shutter_s = 59.0;  // 4.2 m short
    CHECK(chance_of(shoot)->closed == 0);
    CHECK_WITHIN(chance_of(shoot)->median_m, 80.0 * std::sin(pi / 60.0), 0.02);
    shoot.flights.front().gap_m = 5.0;
    CHECK(chance_of(shoot)->closed == 200);
}

TEST_CASE("without a wander stated a common one counts; none is told of lines that stay open") {
    const auto common = chance_of(wide_lap(std::nullopt, 0.3));
    const auto stated = chance_of(wide_lap(0.3, 0.3));
    REQUIRE(common.has_value());
    CHECK(common->wander_m == 0.3);
    CHECK(common->closed == stated->closed);
    CHECK_FALSE(chance_of(wide_lap(0.0, 0.3)).has_value());
    PlacedShoot open = wide_lap(0.3, 0.3);
    open.flights.front().turns = 0.5;
    CHECK_FALSE(chance_of(open).has_value());
}

TEST_CASE("a line that seldom closes is told of where its wander is stated") {
    const auto seldom = [](const PlacedShoot& shoot) {
        const std::vector<Caution> list = shoot_figures(shoot).cautions;
        return std::ranges::any_of(list, [](const Caution& caution) {
            return caution.about == "lap" && caution.level == CautionLevel::care &&
                   caution.text.find("closes its line within 0.3 m") != std::string::npos;
        });
    };
    CHECK(seldom(wide_lap(0.5, 0.3)));
    CHECK_FALSE(seldom(wide_lap(0.05, 0.3)));
    CHECK_FALSE(seldom(wide_lap(std::nullopt, 0.3)));
}
