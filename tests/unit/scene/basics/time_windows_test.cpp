#include "scene/basics/time_windows.h"

#include <cmath>

#include "tests/within.h"

using namespace lampflight;

TEST_CASE("windows add up") {
    CHECK(total_s({}) == 0.0);
    CHECK_WITHIN(total_s({{0.0, 4.0}, {6.0, 9.5}}), 7.5, 1e-12);
}

TEST_CASE("the times that both cover") {
    const TimeWindows one{{0.0, 4.0}, {6.0, 9.0}, {10.0, 11.0}};
    const TimeWindows other{{1.0, 2.0}, {3.0, 7.0}, {9.0, 10.5}};
    const TimeWindows both{{1.0, 2.0}, {3.0, 4.0}, {6.0, 7.0}, {10.0, 10.5}};
    CHECK(common(one, other) == both);
    CHECK(common(other, one) == both);
    CHECK(common(one, one) == one);
    CHECK(common(one, {}).empty());
    CHECK(common({{0.0, 1.0}}, {{1.0, 2.0}}).empty());
}

TEST_CASE("windows that touch come out as one") {
    CHECK(common({{0.0, 2.0}, {2.0, 5.0}}, {{1.0, 9.0}}) == TimeWindows{{1.0, 5.0}});
}

TEST_CASE("a window covers its start and not its end") {
    const TimeWindows windows{{1.0, 2.0}, {2.0, 3.0}, {5.0, 6.0}};
    for (const double time_s : {1.0, 1.9, 2.0, 2.9, 5.0, 5.999}) CHECK(covers(windows, time_s));
    for (const double time_s : {-1.0, 0.999, 3.0, 4.9, 6.0, 99.0})
        CHECK_FALSE(covers(windows, time_s));
    CHECK_FALSE(covers({}, 0.0));
}

// covers() and common() against each other: a time lies in both where it lies in the common ones.
TEST_CASE("common windows cover what both cover, at every moment") {
    TimeWindows one, other;
    for (int i = 0; i < 50; ++i) {
        one.push_back({i * 0.7, i * 0.7 + 0.31});
        other.push_back({i * 0.9 + 0.05, i * 0.9 + 0.6});
    }
    const TimeWindows both = common(one, other);
    CHECK(both.size() > 20);
    double covered_s = 0.0;
    constexpr double step_s = 1e-3;
    for (int i = 0; i < 50000; ++i) {
        const double time_s = (i + 0.5) * step_s;
        CHECK(covers(both, time_s) == (covers(one, time_s) && covers(other, time_s)));
        covered_s += covers(both, time_s) ? step_s : 0.0;
    }
    CHECK_WITHIN(covered_s, total_s(both), 2.0 * step_s * static_cast<double>(both.size()));
}
