// The benchmark's own arithmetic, on films small enough to work out by hand.
#include <doctest/doctest.h>

#include <array>
#include <vector>

#include "tests/benchmark/measures.h"

using namespace lampflight;
using namespace lampflight::bench;
using doctest::Approx;

namespace {

/// One tile of a single brightness.
std::vector<float> even_tile(float value) {
    return std::vector<float>(tile_pixels, value);
}

}  // namespace

TEST_CASE("errors are shares of the mean of the pixels judged") {
    // Half the pixels 10 % of the mean too bright, half 10 % too dark, in columns by turns.
    const std::vector<float> truth = even_tile(2.0f);
    std::vector<float> found = truth;
    for (std::size_t i = 0; i < found.size(); ++i) found[i] += i % 2 == 0 ? 0.2f : -0.2f;
    const Errors errors = errors_of(truth, found);
    CHECK(errors.rms == Approx(0.1));
    CHECK(errors.worst == Approx(0.1));
    CHECK(errors.bias == Approx(0.0).epsilon(1e-6));
    CHECK(errors.tile_means == Approx(0.0).epsilon(1e-6));

    for (float& value : found) value = 2.1f;
    const Errors brighter = errors_of(truth, found);
    CHECK(brighter.rms == Approx(0.05));
    CHECK(brighter.tile_means == Approx(0.05));
    CHECK(brighter.bias == Approx(0.05));
}

TEST_CASE("pixels below 2 % of the mean are not judged") {
    std::vector<float> truth = even_tile(1.0f);
    truth[0] = 0.019f;
    truth[1] = 0.0f;
    std::vector<float> found = truth;
    found[0] = found[1] = 100.0f;
    CHECK(errors_of(truth, found).rms == 0.0);
    truth[0] = 0.021f;
    CHECK(errors_of(truth, found).rms > 1.0);
}

TEST_CASE("the worst hundredth of 1024 pixels are eleven of them") {
    const std::vector<float> truth = even_tile(1.0f);
    std::vector<float> found = truth;
    for (std::size_t i = 0; i < 11; ++i) found[50 * i] = i % 2 == 0 ? 3.0f : -1.0f;
    CHECK(errors_of(truth, found).worst == Approx(2.0));
    found[0] = 1.0f;
    CHECK(errors_of(truth, found).worst == Approx(20.0 / 11.0));
}

TEST_CASE("means over 8 x 8 pixels go tile after tile, rows from the top") {
    std::vector<float> film = even_tile(1.0f);
    const std::vector<float> second = even_tile(2.0f);
    film.insert(film.end(), second.begin(), second.end());
    film[tile_index(9, 7)] = 65.0f;  // second square of the first row
    const std::vector<float> means = square_means(film);
    REQUIRE(means.size() == 32);
    CHECK(means[0] == 1.0f);
    CHECK(means[1] == 2.0f);
    CHECK(means[5] == 1.0f);
    CHECK(means[16] == 2.0f);
}

TEST_CASE("a shadow that is half as deep as it should be is half kept") {
    const std::vector<float> bare = even_tile(1.0f);
    std::vector<float> truth = bare;
    std::vector<float> found = bare;
    for (std::size_t i = 0; i < 100; ++i) {
        truth[i] = 0.6f;
        found[i] = 0.8f;
    }
    found[500] = 0.0f;  // no shadow falls there: not judged
    CHECK(shadow_kept(bare, truth, truth) == Approx(1.0));
    CHECK(shadow_kept(bare, truth, found) == Approx(0.5));
    CHECK(shadow_kept(bare, truth, bare) == Approx(0.0));
    CHECK(shadow_kept(bare, bare, found) == 1.0);
}

TEST_CASE("the cost at an error lies on a straight line of logarithms") {
    // Error 1/n: a hundredth at 100, though no step asks for 100.
    const std::array<Step, 3> steps{{{8.0, 1.0 / 8.0}, {32.0, 1.0 / 32.0}, {128.0, 1.0 / 128.0}}};
    const CostAtError between = cost_at_error(steps, 0.01);
    CHECK(between.cost == Approx(100.0));
    CHECK(between.known == Known::between_steps);

    const CostAtError beyond = cost_at_error(steps, 0.001);
    CHECK(beyond.cost == Approx(1000.0));
    CHECK(beyond.known == Known::drawn_on);

    // A step that costs more and gains nothing tells of no way on.
    const std::array<Step, 3> at_an_end{{{8.0, 0.1}, {32.0, 0.03}, {128.0, 0.0299}}};
    CHECK(cost_at_error(at_an_end, 0.01).known == Known::not_at_all);
    const std::array<Step, 2> dearer_first{{{32.0, 0.05}, {30.0, 0.049}}};
    CHECK(cost_at_error(dearer_first, 0.01).known == Known::not_at_all);

    const CostAtError at_once = cost_at_error(steps, 0.5);
    CHECK(at_once.cost == 8.0);
    CHECK(at_once.known == Known::at_most);

    const std::array<Step, 2> no_better{{{8.0, 0.1}, {32.0, 0.1}}};
    CHECK(cost_at_error(no_better, 0.01).known == Known::not_at_all);
    const std::array<Step, 2> not_counted{{{0.0, 0.1}, {0.0, 0.001}}};
    CHECK(cost_at_error(not_counted, 0.01).known == Known::not_at_all);
    CHECK(cost_at_error(not_counted, 0.5).known == Known::not_at_all);
    CHECK(cost_at_error({}, 0.01).known == Known::not_at_all);
}
