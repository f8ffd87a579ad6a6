#include "renderer/sampling/low_discrepancy.h"

#include <algorithm>
#include <cmath>
#include <set>
#include <vector>

#include "renderer/sampling/effort.h"
#include "tests/within.h"

using namespace lampflight;

TEST_CASE("golden places leave no gap wider than a few even steps") {
    // Three-gap theorem: with n places of the golden rotation gaps stay under 2.62 / n (n large).
    for (const std::uint32_t count : {8u, 50u, 512u}) {
        std::vector<double> places;
        for (std::uint32_t i = 0; i < count; ++i)
            places.push_back(static_cast<double>(golden_place(i, 0.37f)));
        std::ranges::sort(places);
        double widest = places.front() + 1.0 - places.back();
        for (std::size_t i = 1; i < places.size(); ++i)
            widest = std::max(widest, places[i] - places[i - 1]);
        CHECK(widest < 2.7 / count);
        CHECK(places.front() >= 0.0);
        CHECK(places.back() < 1.0);
    }
}

TEST_CASE("plane places fill squares evenly") {
    constexpr int side = 8;
    constexpr std::uint32_t count = 1024;
    std::vector<int> cells(side * side);
    for (std::uint32_t i = 0; i < count; ++i) {
        const glm::vec2 place = plane_place(i, {0.2f, 0.9f});
        REQUIRE(std::min(place.x, place.y) >= 0.0f);
        REQUIRE(std::max(place.x, place.y) < 1.0f);
        ++cells[static_cast<std::size_t>(static_cast<int>(place.y * side) * side +
                                         static_cast<int>(place.x * side))];
    }
    // 16 a cell on average; random places would spread by 4.
    for (const int filled : cells) CHECK(std::abs(filled - 16) <= 4);
}

TEST_CASE("the lanes of a block lie a sixteenth apart") {
    std::set<float> places;
    double sum = 0.0;
    for (int lane = 0; lane < 16; ++lane) {
        places.insert(dither_place(lane));
        sum += static_cast<double>(dither_place(lane));
    }
    CHECK(places.size() == 16);
    CHECK_WITHIN(sum / 16.0, 0.5, 1e-7);
    CHECK_WITHIN(static_cast<double>(*places.begin()), 1.0 / 32.0, 1e-7);
}

TEST_CASE("hashed places are even and not tied to their neighbours") {
    constexpr std::uint32_t side = 64;
    double sum = 0.0;
    double squares = 0.0;
    double neighbours = 0.0;
    for (std::uint32_t y = 0; y < side; ++y)
        for (std::uint32_t x = 0; x < side; ++x) {
            const double here = static_cast<double>(hashed_place(x, y)) - 0.5;
            const double next = static_cast<double>(hashed_place(x + 1, y)) - 0.5;
            sum += here;
            squares += here * here;
            neighbours += here * next;
        }
    constexpr double count = side * side;
    // Deviations of such means: 0.289, 0.0745 and 0.0833 over the root of 4096; four of each.
    CHECK_WITHIN(sum / count, 0.0, 0.018);
    CHECK_WITHIN(squares / count, 1.0 / 12.0, 0.0047);
    CHECK_WITHIN(neighbours / count, 0.0, 0.0053);
}

TEST_CASE("film samples are centred on their pixel") {
    for (const Quality quality : {Quality::draft, Quality::good, Quality::fine}) {
        const int count = effort_of(quality).film_samples;
        glm::dvec2 sum(0.0);
        std::set<std::pair<float, float>> places;
        for (int i = 0; i < count; ++i) {
            const glm::vec2 place = film_sample_place(i, count);
            CHECK(std::min(place.x, place.y) > 0.0f);
            CHECK(std::max(place.x, place.y) < 1.0f);
            sum += glm::dvec2(place);
            places.insert({place.x, place.y});
        }
        CHECK(places.size() == static_cast<std::size_t>(count));
        CHECK_WITHIN(sum / static_cast<double>(count), glm::dvec2(0.5), 1e-6);
    }
}

TEST_CASE("a fraction of a negative number lies in [0, 1)") {
    CHECK_WITHIN(static_cast<double>(fraction(-0.25f)), 0.75, 1e-7);
    CHECK(fraction(3.0f) == 0.0f);
}
