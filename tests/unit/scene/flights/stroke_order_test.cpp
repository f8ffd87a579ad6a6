#include "scene/flights/stroke_order.h"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <limits>
#include <numeric>
#include <random>

#include "tests/within.h"

using namespace lampflight;

namespace {

SvgDrawing random_strokes(std::size_t count, unsigned seed, double reach) {
    std::mt19937 dice(seed);
    std::uniform_real_distribution<double> place(0.0, 1000.0);
    std::uniform_real_distribution<double> step(-reach, reach);
    SvgDrawing drawing;
    for (std::size_t i = 0; i < count; ++i) {
        SvgStroke stroke;
        stroke.closed = i % 3 == 2;
        const Vec2 at(place(dice), place(dice));
        for (std::size_t point = 0; point < (stroke.closed ? 4U : 2U); ++point)
            stroke.points.push_back(at + Vec2(step(dice), step(dice)));
        stroke.corner.assign(stroke.points.size(), true);
        drawing.strokes.push_back(stroke);
    }
    return drawing;
}

/// The shortest of all orders, directions and beginnings, by trying each.
double shortest_of_all(const SvgDrawing& drawing) {
    std::vector<std::size_t> strokes(drawing.strokes.size());
    std::iota(strokes.begin(), strokes.end(), std::size_t{0});
    double shortest = std::numeric_limits<double>::infinity();
    const auto go_on = [&](const auto& self, std::size_t done, const Vec2* at, double way) -> void {
        if (way >= shortest) return;
        if (done == strokes.size()) {
            shortest = way;
            return;
        }
        const SvgStroke& stroke = drawing.strokes[strokes[done]];
        const auto draw = [&](const Vec2& begin, const Vec2& end) {
            const double leg = at == nullptr ? 0.0 : glm::distance(*at, begin);
            self(self, done + 1, &end, way + leg);
        };
        if (stroke.closed) {
            for (const Vec2& point : stroke.points) draw(point, point);
        } else {
            draw(stroke.points.front(), stroke.points.back());
            draw(stroke.points.back(), stroke.points.front());
        }
    };
    do go_on(go_on, 0, nullptr, 0.0);
    while (std::next_permutation(strokes.begin(), strokes.end()));
    return shortest;
}

void check_each_once(const SvgDrawing& drawing, const StrokeOrder& order) {
    REQUIRE(order.size() == drawing.strokes.size());
    std::vector<int> times(order.size(), 0);
    for (const StrokeTurn& turn : order) {
        ++times.at(turn.stroke);
        CHECK(turn.first < drawing.strokes[turn.stroke].points.size());
        CHECK((!drawing.strokes[turn.stroke].closed || !turn.reversed));
        CHECK((drawing.strokes[turn.stroke].closed || turn.first == 0));
    }
    CHECK(std::count(times.begin(), times.end(), 1) == static_cast<std::ptrdiff_t>(times.size()));
}

}  // namespace

TEST_CASE("few strokes are drawn in the shortest of all orders") {
    for (unsigned seed = 0; seed < 12; ++seed) {
        const std::size_t count = 1 + seed % 6;
        const SvgDrawing drawing = random_strokes(count, seed, 400.0);
        const StrokeOrder order = shortest_order(drawing);
        check_each_once(drawing, order);
        CHECK_WITHIN(dark_way(drawing, order), shortest_of_all(drawing), 1e-9);
    }
    const SvgDrawing eight = random_strokes(8, 99, 100.0);
    check_each_once(eight, shortest_order(eight));
    CHECK(dark_way(eight, shortest_order(eight)) <= dark_way(eight, order_of_file(eight)));
    CHECK(shortest_order(SvgDrawing{}).empty());
}

TEST_CASE("a closed stroke of many points begins where its neighbours are nearest") {
    SvgDrawing drawing;
    SvgStroke round;
    round.closed = true;
    for (int i = 0; i < 1000; ++i)
        round.points.emplace_back(10.0 * std::cos(0.00628 * i), 10.0 * std::sin(0.00628 * i));
    round.corner.assign(round.points.size(), false);
    drawing.strokes = {round, {{{3.0, 20.0}, {30.0, 20.0}}, {true, true}, false}};
    const StrokeOrder order = shortest_order(drawing);
    // From the circle's nearest point straight out.
    CHECK_WITHIN(dark_way(drawing, order), std::hypot(3.0, 20.0) - 10.0, 1e-4);
    const StrokeTurn& turn = order[0].stroke == 0 ? order[0] : order[1];
    CHECK_WITHIN(round.points[turn.first], 10.0 * glm::normalize(Vec2(3.0, 20.0)), 0.05);
    const auto drawn = points_drawn(round, turn);
    CHECK(drawn.size() == 1001);
    CHECK(drawn.front() == drawn.back());
}

TEST_CASE("many strokes are never drawn in a longer way than the file's") {
    for (const std::size_t count : {9U, 40U, 400U}) {
        for (unsigned seed = 0; seed < 3; ++seed) {
            const SvgDrawing drawing = random_strokes(count, seed, 30.0);
            const StrokeOrder order = shortest_order(drawing);
            check_each_once(drawing, order);
            CHECK(dark_way(drawing, order) < 0.7 * dark_way(drawing, order_of_file(drawing)));
        }
    }
    // Short dashes side by side, to and fro over the whole page: as in the file is the shortest.
    SvgDrawing rows;
    for (int i = 0; i < 300; ++i) {
        const double y = 10.0 * i;
        const Vec2 left(0.0, y);
        const Vec2 right(500.0, y);
        rows.strokes.push_back(
            {i % 2 == 0 ? std::vector<Vec2>{left, right} : std::vector<Vec2>{right, left},
             {true, true},
             false});
    }
    CHECK_WITHIN(dark_way(rows, shortest_order(rows)), 2990.0, 1e-6);
}

TEST_CASE("points that lie as on a lattice: the way found is near the shortest known") {
    // Strokes a hundredth long on a lattice of 20 x 20: no way is shorter than from each to one of
    // its neighbours, 399 legs of a good 0.98.
    SvgDrawing lattice;
    std::mt19937 dice(3);
    for (int i = 0; i < 400; ++i)
        lattice.strokes.push_back(
            {{Vec2(i % 20, i / 20), Vec2(i % 20 + 0.01, i / 20)}, {true, true}, false});
    std::shuffle(lattice.strokes.begin(), lattice.strokes.end(), dice);
    CHECK(dark_way(lattice, shortest_order(lattice)) < 1.1 * 399.0);
}

TEST_CASE("the work for very many strokes is bounded, and its result is always the same") {
    const auto began = std::chrono::steady_clock::now();
    const SvgDrawing drawing = random_strokes(10'000, 1, 5.0);
    const StrokeOrder order = shortest_order(drawing);
    // A loaded machine and the sanitizers take many times the second that it takes by itself.
    CHECK(std::chrono::steady_clock::now() - began < std::chrono::seconds(60));
    check_each_once(drawing, order);
    CHECK(dark_way(drawing, order) < 0.05 * dark_way(drawing, order_of_file(drawing)));
    const SvgDrawing fewer = random_strokes(300, 1, 5.0);
    const StrokeOrder once = shortest_order(fewer);
    const StrokeOrder again = shortest_order(fewer);
    CHECK(std::equal(once.begin(), once.end(), again.begin(), again.end(),
                     [](const StrokeTurn& a, const StrokeTurn& b) {
                         return a.stroke == b.stroke && a.reversed == b.reversed &&
                                a.first == b.first;
                     }));
}
