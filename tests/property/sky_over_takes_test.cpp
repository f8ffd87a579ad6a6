// A place's sky on film: each take under the sky of its own moment, discs as bright as they light.
#include <algorithm>
#include <cmath>

#include "renderer/sky/sky.h"
#include "scene/shoot/take_moment.h"
#include "tests/film.h"
#include "tests/icosphere.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

/// Dusk in the Alps in November: the sun is 4 degrees down, a thin moon stands in the south-west.
Place dusk() {
    Place place;
    place.latitude_deg = 45.0;
    place.longitude_deg = 7.0;
    place.when = {1699892400.0, 60};  // 2023-11-13 16:20 UTC
    return place;
}

double mean_of(const ExposedTake& take, const std::string& name) {
    for (const Layer& layer : take.layers) {
        if (layer.id.text() != name) continue;
        double sum = 0.0;
        for (int y = 0; y < take.pixels.y; ++y)
            for (int x = 0; x < take.pixels.x; ++x)
                sum += static_cast<double>(luminance(exposure_lxs(layer, x, y)));
        return sum / (take.pixels.x * take.pixels.y);
    }
    FAIL("no layer " << name);
    return 0.0;
}

}  // namespace

TEST_CASE("each take stands under the sky of its own moment") {
    PlacedShoot shoot = dark_shoot({24, 16});
    shoot.place = dusk();
    look_down(shoot.camera, {0.0, 0.0}, 4.0);
    Take later = shoot.takes.front();
    later.name = "later";
    later.after_s = 600.0;
    Take same = shoot.takes.front();
    same.name = "same";
    shoot.takes.push_back(later);
    shoot.takes.push_back(same);
    shoot.photograph.takes = {"take", "later", "same"};
    const auto takes = expose(shoot, {Quality::good, 1});
    REQUIRE(takes);
    const double now = mean_of((*takes)[0], "sky.surface");
    const double then = mean_of((*takes)[1], "sky.surface");
    const auto lx = [&](const Take& take) {
        return horizontal_lx(night_sky(shoot, moment_of(shoot, take).unix_s));
    };
    CHECK(then < 0.4 * now);
    // Open ground: what is left of the sky's light is left on film, but for the moon's own part.
    CHECK_RELATIVE(then / now, lx(shoot.takes[1]) / lx(shoot.takes[0]), 0.03);
    CHECK(mean_of((*takes)[2], "sky.surface") == now);

    // Side by side on one geometry they are what each is by itself.
    const auto alone = expose(shoot, {Quality::good, 1}, {}, {"later"});
    REQUIRE(alone);
    for (const std::string name : {"sky.view", "sky.surface", "moon.surface", "stars"})
        CHECK(mean_of(alone->front(), name) == mean_of((*takes)[1], name));
}

TEST_CASE("a moon lights the ground and throws a shadow") {
    PlacedShoot shoot = dark_shoot({24, 16});
    shoot.place = dusk();
    shoot.place->when.unix_s = 1701205200.0;  // 2023-11-28 21:00 UTC, a day after full moon
    look_down(shoot.camera, {0.0, 0.0}, 4.0);
    const NightSky night = night_sky(shoot, shoot.place->when.unix_s);
    REQUIRE(night.moon.direction.z > 0.5);
    const auto open = expose(shoot, {Quality::good, 0});
    REQUIRE(open);
    // E = rho E / pi on film by q t / N^2: compared with the sky's layer instead of the lens.
    const Sky sky(night);
    const double by_disc = static_cast<double>(
        luminance(sky.direct().back().normal_lx * sky.direct().back().direction.z));
    const double by_sky = static_cast<double>(luminance(sky.horizontal_lx()));
    CHECK_RELATIVE(mean_of(open->front(), "moon.surface") / mean_of(open->front(), "sky.surface"),
                   by_disc / by_sky, 0.02);
    CHECK(mean_of(open->front(), "sun.surface") == 0.0);

    // A ball 4 m from the patch's middle towards the moon, out of the camera's view of it.
    add_subject(shoot, "ball", icosphere(4.0 * night.moon.direction, 0.5, 3, false));
    const auto shaded = expose(shoot, {Quality::good, 0});
    REQUIRE(shaded);
    const auto moonlight = [](const ExposedTake& take, int x, int y) {
        const auto layer = std::ranges::find(take.layers, layer_id_of("moon.surface"), &Layer::id);
        return luminance(exposure_lxs(*layer, x, y));
    };
    CHECK(moonlight(shaded->front(), 12, 8) == 0.0f);
    // Across the moon's bearing the shadow is half a metre wide to either side.
    const double bearing_rad = bearing_of(night.moon.direction);
    const Vec2 aside(std::cos(bearing_rad), -std::sin(bearing_rad));
    const auto px = [&](double aside_m) {
        const Vec2 at_px = Vec2(12.0, 8.0) + aside_m * 6.0 * Vec2(aside.x, -aside.y);
        return glm::ivec2(at_px);
    };
    for (const double aside_m : {-1.1, 1.1}) {
        const glm::ivec2 at = px(aside_m);
        CHECK(moonlight(shaded->front(), at.x, at.y) == moonlight(open->front(), at.x, at.y));
    }
}

TEST_CASE("a moon in the frame stands on a layer of its own, behind what is nearer") {
    PlacedShoot shoot = dark_shoot({60, 40});
    shoot.place = dusk();
    shoot.place->when.unix_s = 1701205200.0;  // 2023-11-28 21:00 UTC
    const NightSky night = night_sky(shoot, shoot.place->when.unix_s);
    shoot.camera.position_m = {0.0, 0.0, 1.6};
    shoot.camera.look_at_m = shoot.camera.position_m + 50.0 * night.moon.direction;
    shoot.camera.focal_mm = 300.0;
    const auto open = expose(shoot, {Quality::draft, 0});
    REQUIRE(open);
    CHECK(mean_of(open->front(), "moon.view") > mean_of(open->front(), "sky.view"));
    CHECK(mean_of(open->front(), "sun.view") == 0.0);
    add_subject(shoot, "ball",
                icosphere(shoot.camera.position_m + 30.0 * night.moon.direction, 1.0, 3, false));
    const auto hidden = expose(shoot, {Quality::draft, 0});
    REQUIRE(hidden);
    CHECK(mean_of(hidden->front(), "moon.view") == 0.0);
}

TEST_CASE("stars stand on a layer of their own, and clouds hide them") {
    PlacedShoot shoot = dark_shoot({60, 40});
    shoot.place = dusk();
    shoot.place->when.unix_s = 1699905600.0;  // 2023-11-13 20:00 UTC, no moon
    shoot.camera.position_m = {0.0, 0.0, 1.6};
    shoot.camera.bearing_deg = 100.0;
    shoot.camera.tilt_deg = 40.0;
    shoot.camera.focal_mm = 14.0;
    const auto clear = expose(shoot, {Quality::draft, 0});
    REQUIRE(clear);
    const double stars = mean_of(clear->front(), "stars");
    const double sky = mean_of(clear->front(), "sky.view");
    // All stars to V = 6 together are a tenth or so of a dark night sky (from memory: stars
    // brighter than that are under a quarter of integrated starlight).
    CHECK(stars > 0.01 * sky);
    CHECK(stars < 0.3 * sky);
    shoot.sky.cloud_share = 1.0;
    const auto covered = expose(shoot, {Quality::draft, 0});
    REQUIRE(covered);
    CHECK(mean_of(covered->front(), "stars") == 0.0);
}
