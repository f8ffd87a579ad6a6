// Layers and films: what takes share, what they sum, and what is read off them.
#include "renderer/film/layer.h"

#include <algorithm>

#include "renderer/develop/photograph.h"
#include "renderer/expose/shared_passes.h"
#include "renderer/film/film_rows.h"
#include "renderer/lens/point_spread.h"
#include "renderer/meter/meter.h"
#include "tests/film.h"
#include "tests/icosphere.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

std::shared_ptr<const Image> even_film(float value) {
    Image film(4, 3);
    std::ranges::fill(film.pixels, glm::vec3(value));
    return std::make_shared<const Image>(std::move(film));
}

/// Two takes of a ball under a lamp and a sky, at f-numbers and shutter times of their own.
PlacedShoot two_takes() {
    PlacedShoot shoot = dark_shoot({36, 24});
    shoot.sky.horizontal_lx = 0.2;
    shoot.camera.sensor_pixels_across = 3.0;
    stand(shoot, bare_lamp("lamp", 60.0), {0.0, 1.0, 3.0});
    add_subject(shoot, "ball", icosphere({0.0, 0.0, 0.8}, 0.8, 2, false));
    shoot.camera.position_m = {0.0, -7.0, 1.5};
    shoot.camera.look_at_m = Vec3(0.0, 0.0, 1.5);
    shoot.camera.focal_mm = 20.0;
    Take second = shoot.takes.front();
    second.name = "second";
    second.f_number = 2.0 * shoot.camera.f_number;
    second.shutter_s = 2.0 * shoot.camera.shutter_s;
    shoot.takes.push_back(second);
    shoot.photograph.takes = {"take", "second"};
    return shoot;
}

const Layer& layer_named(const ExposedTake& take, const std::string& name) {
    return *std::ranges::find(take.layers, layer_id_of(name), &Layer::id);
}

}  // namespace

TEST_CASE("a layer is the sum of its films, each at its scale, and of its trail") {
    Layer layer;
    layer.films = {{even_film(2.0f), 0.5f}, {even_film(3.0f), 2.0f}};
    CHECK(exposure_lxs(layer, 1, 2).g == 7.0f);
    CHECK(picture_lxs(layer, {4, 3}).at(1, 2).g == 7.0f);
    TrailFilm trail(4, 3, 2);
    trail.add_disc({1.5, 2.5}, 0.1, glm::vec3(1.0f));
    layer.trail = trail;
    CHECK_WITHIN(static_cast<double>(exposure_lxs(layer, 1, 2).g), 8.0, 1e-6);
    CHECK(exposure_lxs(layer, 3, 0).g == 7.0f);
    CHECK(picture_lxs(layer, {4, 3}).at(1, 2) == exposure_lxs(layer, 1, 2));
    CHECK(picture_lxs(Layer{}, {4, 3}).pixels == FilmBuffer<glm::vec3>(12, glm::vec3(0.0f)));
}

TEST_CASE("a layer sums what it alone holds, and leaves what others hold") {
    const auto shared = even_film(1.0f);
    std::vector<ExposedTake> takes(2);
    for (ExposedTake& take : takes) take.layers.resize(1);
    Layer& layer = takes[0].layers[0];
    layer.films = {{even_film(2.0f), 0.5f}, {shared, 4.0f}, {even_film(3.0f), 2.0f}};
    takes[1].layers[0].films = {{shared, 1.0f}};
    sum_own_films(takes);
    REQUIRE(takes[1].layers[0].films.size() == 1);
    REQUIRE(layer.films.size() == 2);
    CHECK(std::ranges::count(layer.films, shared, &ScaledFilm::film) == 1);
    CHECK(exposure_lxs(layer, 0, 0).g == 11.0f);
}

TEST_CASE("takes of the same subjects share the sky's films, at their own settings") {
    const auto takes = expose(two_takes(), {.quality = Quality::draft});
    REQUIRE(takes.has_value());
    REQUIRE(takes->size() == 2);
    for (const std::string name : {"sky.view", "sky.surface"}) {
        const Layer& one = layer_named(takes->front(), name);
        const Layer& other = layer_named(takes->back(), name);
        REQUIRE(one.films.size() == 1);
        REQUIRE(other.films.size() == 1);
        CHECK(one.films[0].film == other.films[0].film);
        // H = q L t / N^2: twice the time, twice the f-number.
        CHECK_RELATIVE(static_cast<double>(other.films[0].scale),
                       0.5 * static_cast<double>(one.films[0].scale), 1e-6);
    }
    CHECK(layer_named(takes->front(), "lamp.trail").films.empty());
}

TEST_CASE("one geometry for each set of subjects, whoever needs it and when") {
    PlacedShoot shoot = two_takes();
    CHECK(shared_passes(shoot, {&shoot.takes[0], &shoot.takes[1]}).size() == 1);
    shoot.subjects[0].present_s = TimeWindows{{1.0, 2.0}};
    shoot.takes[1].subjects = std::vector<std::string>{};
    const auto plans = shared_passes(shoot, {&shoot.takes[0], &shoot.takes[1]});
    REQUIRE(plans.size() == 2);
    CHECK(plans[0].subjects.empty());  // before the ball comes
    REQUIRE(plans[0].uses.size() == 2);
    CHECK(plans[0].uses[0].take == 0);
    const double shutter_s = shoot.camera.shutter_s;
    CHECK_WITHIN(total_s(plans[0].uses[0].times), shutter_s - 1.0, 1e-12);
    CHECK_WITHIN(total_s(plans[0].uses[1].times), 2.0 * shutter_s, 1e-12);
    REQUIRE(plans[1].uses.size() == 1);
    CHECK_WITHIN(total_s(plans[1].uses[0].times), 1.0, 1e-12);

    // With a place takes of other moments share the geometry, not the sky.
    shoot = two_takes();
    shoot.takes[1].after_s = 60.0;
    shoot.place = Place{};
    const auto evening = shared_passes(shoot, {&shoot.takes[0], &shoot.takes[1], &shoot.takes[0]});
    REQUIRE(evening.size() == 1);
    CHECK(evening[0].skies_after_s == std::vector<double>{0.0, 60.0});
    CHECK(evening[0].uses[1].sky == 1);
    CHECK(evening[0].uses[2].sky == 0);
}

TEST_CASE("a take's film is the sum of its layers as the lens spreads it, and the meter reads it") {
    PlacedShoot shoot = two_takes();
    shoot.points = {{"ball", {0.0, -0.8, 0.8}}};
    const auto takes = expose(shoot, {.quality = Quality::draft});
    REQUIRE(takes.has_value());
    const ExposedTake& take = takes->front();
    Image surfaces(take.pixels.x, take.pixels.y);
    Image trails = surfaces;
    for (const Layer& layer : take.layers)
        add_scaled((layer.trail ? trails : surfaces).pixels, picture_lxs(layer, take.pixels).pixels,
                   1.0f);
    CHECK(sum_of(trails) > 0.0);
    const Image laid =
        PointSpread(shoot.camera, take.settings.f_number)
            .laid_on([&](int y, Row row) { std::ranges::copy(surfaces.row(y), row.begin()); },
                     lit_of(trails));
    const Image film = film_lxs(shoot.camera, take);
    for (std::size_t i = 0; i < film.pixels.size(); ++i)
        CHECK_RELATIVE(luminance_of(film.pixels[i]), luminance_of(laid.pixels[i]), 1e-5);

    const MeterReading reading = meter(shoot, {take});
    // A square of 3 x 3 pixels about the point's image, which cuts those at its rim.
    const Vec2 place_px = *Projection(shoot.camera).film_px(shoot.points[0].position_m);
    const glm::ivec2 pixel(place_px);
    const auto part = [](double middle, int at) {
        return std::min(at + 1.0, middle + 1.5) - std::max<double>(at, middle - 1.5);
    };
    double mean_lxs = 0.0;
    for (int y = pixel.y - 2; y <= pixel.y + 2; ++y)
        for (int x = pixel.x - 2; x <= pixel.x + 2; ++x)
            mean_lxs += std::max(part(place_px.x, x), 0.0) * std::max(part(place_px.y, y), 0.0) *
                        luminance_of(film.at(x, y)) / 9.0;
    CHECK_RELATIVE(reading.points.at(0).brightest_take().exposure_lxs, mean_lxs, 1e-9);
}
