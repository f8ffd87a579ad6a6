// What one light leaves on film hangs on no other: not on how strong a lamp burns, and the sky's
// not even on whether there is one.
#include "tests/film.h"
#include "tests/icosphere.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

/// Two lamps, one of which flies, about two balls on the ground under a sky.
PlacedShoot lit_balls() {
    PlacedShoot shoot = dark_shoot({64, 40});
    shoot.sky.horizontal_lx = 0.3;
    shoot.camera.position_m = {0.0, -9.0, 1.5};
    shoot.camera.look_at_m = Vec3(0.0, 0.0, 1.0);
    shoot.camera.focal_mm = 24.0;
    shoot.camera.shutter_s = 8.0;
    add_subject(shoot, "ball", icosphere({2.0, 1.0, 0.7}, 0.7, 3, false));
    add_subject(shoot, "other", icosphere({-0.6, 0.0, 1.0}, 1.0, 3, false));
    Flight pass;
    pass.shape = FlightShape::line;
    pass.from_m = Vec3(-4.0, 2.0, 1.4);
    pass.to_m = Vec3(4.0, 2.0, 1.4);
    pass.speed_m_s = 1.0;
    fly(shoot, bare_lamp("passing", 30.0), pass);
    Lamp post = lobe_lamp("post", 90.0, 4.0);
    post.aim = Vec3(1.0, 0.3, -0.6);
    stand(shoot, post, {-3.0, -2.0, 2.0});
    return shoot;
}

ExposedTake exposed_draft(const PlacedShoot& shoot) {
    return exposed(shoot, {.quality = Quality::draft, .bounces = 1});
}

void check_same(const ExposedTake& one, const ExposedTake& other,
                const std::vector<std::string>& layers) {
    for (const std::string& name : layers) {
        INFO(name);
        const Image first = layer_of(one, name);
        CHECK(sum_of(first) > 0.0);
        CHECK(first.pixels == layer_of(other, name).pixels);
    }
}

}  // namespace

TEST_CASE("a lamp made stronger leaves every other film as it was, to the last bit") {
    PlacedShoot shoot = lit_balls();
    const ExposedTake before = exposed_draft(shoot);
    constexpr double times = 3.7;
    shoot.lamps.front().flux_lm *= times;
    shoot.lamps.front().gel.shift_mired = 120.0;
    const ExposedTake after = exposed_draft(shoot);
    check_same(before, after, {"post.surface", "sky.surface", "sky.view"});
    CHECK_RELATIVE(sum_of(layer_of(after, "passing.surface")),
                   times * sum_of(layer_of(before, "passing.surface")), 1e-5);
}

TEST_CASE("a lamp added leaves the sky's films as they were, to the last bit") {
    PlacedShoot shoot = lit_balls();
    const ExposedTake before = exposed_draft(shoot);
    stand(shoot, bare_lamp("added", 200.0), {1.0, -1.5, 0.6});
    check_same(before, exposed_draft(shoot), {"sky.surface", "sky.view"});
}

TEST_CASE("another sky leaves the lamps' films as they were, to the last bit") {
    PlacedShoot shoot = lit_balls();
    const ExposedTake before = exposed_draft(shoot);
    for (const double horizontal_lx : {0.0, 0.02, 7.0}) {
        shoot.sky.horizontal_lx = horizontal_lx;
        shoot.sky.glow_bearing_deg = 200.0;
        check_same(before, exposed_draft(shoot), {"passing.surface", "post.surface"});
    }
}
