#include "scene/planning/extents.h"

#include <cmath>

#include "scene/basics/angle.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

std::vector<Vec2> turned_ellipse(double a, double b, double turn_rad) {
    std::vector<Vec2> points;
    for (int i = 0; i < 4000; ++i) {
        const double t = 2.0 * pi * i / 4000.0;
        const Vec2 p(a * std::cos(t), b * std::sin(t));
        points.push_back({p.x * std::cos(turn_rad) - p.y * std::sin(turn_rad) + 100.0,
                          p.x * std::sin(turn_rad) + p.y * std::cos(turn_rad) - 40.0});
    }
    return points;
}

}  // namespace

TEST_CASE("extents of an ellipse are its axes, however it is turned") {
    for (const double turn_rad : {0.0, 0.3, 1.2, 2.0, 3.0}) {
        const Extents extents = extents_of(turned_ellipse(5.0, 1.5, turn_rad));
        CHECK_RELATIVE(extents.longer, 10.0, 1e-5);
        CHECK_RELATIVE(extents.shorter, 3.0, 1e-5);
        CHECK_RELATIVE(extents.ratio(), 0.3, 1e-5);
    }
    CHECK_RELATIVE(extents_of(turned_ellipse(5.0, 5.0, 0.4)).ratio(), 1.0, 1e-5);
}

TEST_CASE("extents of polygons by hand") {
    CHECK_RELATIVE(extents_of({{0, 0}, {1, 1}, {2, 0}, {1, -1}}).ratio(), 1.0, 1e-12);
    const Extents oblong = extents_of({{0, 0}, {4, 3}, {4 - 0.6, 3 + 0.8}, {-0.6, 0.8}, {1, 1}});
    CHECK_RELATIVE(oblong.longer, 5.0, 1e-12);
    CHECK_RELATIVE(oblong.shorter, 1.0, 1e-12);
    // A regular triangle is narrowest across its height.
    const Extents triangle = extents_of({{0, 0}, {2, 0}, {1, std::sqrt(3.0)}});
    CHECK_RELATIVE(triangle.shorter, std::sqrt(3.0), 1e-12);
    CHECK_RELATIVE(triangle.longer, 2.0, 1e-12);
}

TEST_CASE("extents of a line, a point and nothing") {
    CHECK(extents_of({{0, 0}, {3, 4}, {1.5, 2}}).shorter == 0.0);
    CHECK(extents_of({{0, 0}, {3, 4}, {1.5, 2}}).longer == 5.0);
    for (const std::vector<Vec2>& few :
         {std::vector<Vec2>{}, std::vector<Vec2>{{2, 1}}, std::vector<Vec2>{{2, 1}, {2, 1}}}) {
        CHECK(extents_of(few).longer == 0.0);
        CHECK(extents_of(few).ratio() == 0.0);
    }
}
