#include "renderer/meter/point_sight.h"

#include <cmath>

#include "renderer/geometry/geometry.h"
#include "scene/shoot/shoot.h"
#include "tests/icosphere.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

const Vec3 tripod_m{0.0, -8.0, 3.0};

/// Level ground and a ball of 0.8 m, by default from a tripod 3 m high.
PointSight sight_through(const Vec3& point_m, const Vec3& lens_m = tripod_m) {
    Shoot shoot;
    shoot.subjects.emplace_back().name = "ball";
    Mesh ground;
    ground.positions = {
        {-90.0f, -90.0f, 0.0f}, {90.0f, -90.0f, 0.0f}, {90.0f, 90.0f, 0.0f}, {-90.0f, 90.0f, 0.0f}};
    ground.normals.assign(4, {0.0f, 0.0f, 1.0f});
    ground.triangles = {{0, 1, 2}, {0, 2, 3}};
    ground.material_of = {0, 0};
    ground.materials = {{}};
    const Mesh ball = icosphere({0.0, -2.0, 1.0}, 0.8, 4, false);
    return point_sight(shoot, Geometry({&ground, &ball}), lens_m, point_m);
}

}  // namespace

TEST_CASE("line of sight through a point in the air: it meets the sky, or what lies far behind") {
    const PointSight sky = sight_through({0.0, 20.0, 5.0});
    CHECK(sky.meets == PointSight::Meets::sky);
    CHECK(sky.what == "sky");
    // Sinks a metre in three: from a metre up it goes 3 m on, and 1 m down.
    const PointSight ground = sight_through({4.0, -2.0, 1.0}, {4.0, -8.0, 3.0});
    CHECK(ground.meets == PointSight::Meets::farther);
    CHECK(ground.what == "ground");
    CHECK_WITHIN(ground.behind_m, std::sqrt(10.0), 1e-3);
    // Half-way to the ball's middle.
    const PointSight ball = sight_through({0.0, -5.0, 2.0});
    CHECK(ball.meets == PointSight::Meets::farther);
    CHECK(ball.what == "ball");
    CHECK_WITHIN(ball.behind_m, std::sqrt(10.0) - 0.8, 0.01);
}

TEST_CASE("line of sight to a point behind something: what hides it, and how far before it") {
    const PointSight sight = sight_through({0.0, 1.0, 0.0});
    CHECK(sight.meets == PointSight::Meets::nearer);
    CHECK(sight.what == "ball");
    CHECK_WITHIN(sight.behind_m, -0.8 - std::sqrt(10.0), 0.01);
    const PointSight under = sight_through({4.0, 1.0, -3.0}, {4.0, -8.0, 3.0});
    CHECK(under.meets == PointSight::Meets::nearer);
    CHECK(under.what == "ground");
}

TEST_CASE("a point a hand's breadth off a surface lies on it, however flat that is seen") {
    for (const double lens_m : {0.5, 1.4, 3.0, 30.0})
        for (const double height_m : {-0.2, -0.05, 0.0, 0.05, 0.2}) {
            CAPTURE(lens_m);
            CAPTURE(height_m);
            const PointSight ground = sight_through({4.0, 4.0, height_m}, {4.0, -8.0, lens_m});
            CHECK(ground.meets == PointSight::Meets::itself);
            CHECK(ground.what == "ground");
        }
    CHECK(sight_through({4.0, 4.0, 0.4}, {4.0, -8.0, 1.4}).meets == PointSight::Meets::farther);
    CHECK(sight_through({4.0, 4.0, -0.4}, {4.0, -8.0, 1.4}).meets == PointSight::Meets::nearer);
    const Vec3 to_ball = glm::normalize(Vec3(0.0, 6.0, -2.0));
    const Vec3 front_m = Vec3(0.0, -2.0, 1.0) - 0.8 * to_ball;
    for (const double behind_m : {-0.2, 0.0, 0.2}) {
        const PointSight ball = sight_through(front_m + behind_m * to_ball);
        CHECK(ball.meets == PointSight::Meets::itself);
        CHECK(ball.what == "ball");
    }
    CHECK(sight_through(front_m + 0.5 * to_ball).meets == PointSight::Meets::nearer);
    // Just above the ground behind the ball: the ball is no part of that.
    CHECK(sight_through({0.0, -0.5, 0.05}).meets == PointSight::Meets::nearer);
}
