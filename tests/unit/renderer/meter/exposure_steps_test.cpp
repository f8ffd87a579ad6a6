#include "renderer/meter/exposure_steps.h"

#include <cmath>
#include <numeric>

#include "renderer/develop/tone.h"
#include "tests/within.h"

using namespace lampflight;

TEST_CASE("steps end at whole stops, the last one at white") {
    const auto edges = step_edges_stops();
    REQUIRE(edges.size() == 14);
    for (std::size_t i = 0; i + 1 < edges.size(); ++i)
        CHECK(edges[i] == -10.0 + static_cast<double>(i));
    // ISO 12232: saturation is 78 / S, mid-grey 10 / S; a thousandth under it counts as white.
    CHECK_WITHIN(edges.back(), std::log2(7.8), 0.002);
}

TEST_CASE("the step of a pixel: edges belong to the brighter step") {
    CHECK(step_of(0.0) == 0);
    CHECK(step_of(-1.0) == 0);
    CHECK(step_of(std::exp2(-10.0)) == 1);
    CHECK(step_of(std::nextafter(std::exp2(-10.0), 0.0)) == 0);
    const auto edges = step_edges_stops();
    CHECK(edges[step_of(1.0) - 1] == 0.0);
    CHECK(edges[step_of(0.99)] == 0.0);
    CHECK(step_of(saturation_over_mid_grey) == edges.size());
    CHECK(step_of(1e30) == edges.size());
    CHECK(step_of(7.7) == edges.size() - 1);
}

TEST_CASE("shares by step") {
    Image picture(4, 2);
    for (const int i : {0, 1, 2}) picture.pixels[static_cast<std::size_t>(i)] = glm::vec3(1.5f);
    picture.pixels[3] = glm::vec3(7.8f);
    const auto shares = shares_by_step(picture);
    REQUIRE(shares.size() == step_edges_stops().size() + 1);
    CHECK(shares[step_of(1.5)] == 3.0 / 8.0);
    CHECK(shares.back() == 1.0 / 8.0);
    CHECK(shares.front() == 4.0 / 8.0);
    CHECK_WITHIN(std::accumulate(shares.begin(), shares.end(), 0.0), 1.0, 1e-12);
}
