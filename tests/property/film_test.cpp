// What must stay the same, or change in a known way, on film when the shoot changes.
#include <tbb/global_control.h>

#include <algorithm>
#include <cmath>

#include "renderer/develop/photograph.h"
#include "renderer/develop/tone.h"
#include "tests/film.h"
#include "tests/icosphere.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

/// A small night: sky, two balls, a halo and a standing lamp, two takes. Films of 42 x 30 leave odd
/// blocks at the edges.
PlacedShoot small_night() {
    PlacedShoot shoot = dark_shoot({42, 30});
    shoot.sky.horizontal_lx = 0.2;
    shoot.sky.glow_bearing_deg = 320.0;
    Mesh ball = icosphere({0.0, 0.0, 0.9}, 0.9, 3, false);
    add_subject(shoot, "ball", ball);
    add_subject(shoot, "small", icosphere({2.0, -1.0, 0.5}, 0.5, 3, false));
    Flight halo;
    halo.height_m = 5.0;
    halo.radius_m = 3.5;
    halo.lap_s = 15.0;
    Lamp warm = lobe_lamp("warm", 400.0, 4.0);
    warm.spill = 0.02;
    fly(shoot, warm, halo);
    stand(shoot, bare_lamp("post", 20.0), {-3.0, 1.0, 1.2});
    Take second = shoot.takes.front();
    second.name = "without";
    second.lamps = std::vector<std::string>{};
    second.subjects = std::vector<std::string>{"ball"};
    shoot.takes.push_back(second);
    shoot.photograph.takes = {"take", "without"};
    shoot.camera.position_m = {1.0, -9.0, 1.5};
    shoot.camera.look_at_m = Vec3(0.0, 0.0, 1.8);
    shoot.camera.focal_mm = 18.0;
    shoot.camera.f_number = 4.0;
    return shoot;
}

std::vector<ExposedTake> exposed_all(const PlacedShoot& shoot, const RenderSettings& settings) {
    auto takes = expose(shoot, settings);
    REQUIRE(takes.has_value());
    return std::move(*takes);
}

const RenderSettings quick{.quality = Quality::draft, .bounces = 1};

/// All pixels of all layers, by name.
void check_same_layers(const ExposedTake& one, const ExposedTake& other) {
    REQUIRE(one.layers.size() == other.layers.size());
    for (const Layer& layer : one.layers)
        CHECK_MESSAGE(
            layer_of(one, layer.id.text()).pixels == layer_of(other, layer.id.text()).pixels,
            layer.id.text());
}

/// One layer times a factor is the other, but for rounding.
void check_times(const Image& layer, double factor, const Image& other) {
    REQUIRE(sum_of(layer) > 0.0);
    for (std::size_t i = 0; i < layer.pixels.size(); ++i)
        for (int c = 0; c < 3; ++c) {
            const double expected = factor * static_cast<double>(layer.pixels[i][c]);
            CHECK_WITHIN(static_cast<double>(other.pixels[i][c]), expected,
                         1e-5 * std::abs(expected) + 1e-12);
        }
}

/// Difference of two films of the same light, relative: of the sums, and of the pixels (rms over
/// the mean).
struct FilmsApart {
    double sums;
    double pixels;
};

FilmsApart films_apart(const Image& one, const Image& other) {
    double squares = 0.0;
    for (std::size_t i = 0; i < one.pixels.size(); ++i) {
        const double difference = luminance_of(one.pixels[i]) - luminance_of(other.pixels[i]);
        squares += difference * difference;
    }
    const double mean = sum_of(one) / static_cast<double>(one.pixels.size());
    return {std::abs(sum_of(other) / sum_of(one) - 1.0),
            std::sqrt(squares / static_cast<double>(one.pixels.size())) / mean};
}

Image mirrored(const Image& film) {
    Image turned(film.width, film.height);
    for (int y = 0; y < film.height; ++y)
        for (int x = 0; x < film.width; ++x) turned.at(x, y) = film.at(film.width - 1 - x, y);
    return turned;
}

/// Means over squares of 6 x 6 pixels: noise and the places of film samples within pixels fade.
Image reduced(const Image& film) {
    constexpr int side = 6;
    Image small(film.width / side, film.height / side);
    for (int y = 0; y < small.height * side; ++y)
        for (int x = 0; x < small.width * side; ++x)
            small.at(x / side, y / side) += film.at(x, y) / static_cast<float>(side * side);
    return small;
}

void move_mesh(Mesh& mesh, const Vec3& by_m) {
    for (glm::vec3& p : mesh.positions) p = glm::vec3(Vec3(p) + by_m);
}

bool all_finite(const Camera& camera, const ExposedTake& take) {
    const auto finite = [](const Image& film) {
        return std::ranges::all_of(film.pixels, [](const glm::vec3& p) {
            return std::isfinite(p.r) && std::isfinite(p.g) && std::isfinite(p.b);
        });
    };
    if (!finite(film_lxs(camera, take))) return false;
    return std::ranges::all_of(take.layers, [&](const Layer& layer) {
        const Image film = picture_lxs(layer, take.pixels);
        return finite(film) && std::ranges::all_of(film.pixels, [](const glm::vec3& p) {
                   return std::min({p.r, p.g, p.b}) >= 0.0f;
               });
    });
}

void check_sound(const PlacedShoot& shoot) {
    const std::vector<ExposedTake> takes = exposed_all(shoot, quick);
    for (const ExposedTake& take : takes) CHECK(all_finite(shoot.camera, take));
    const Image picture = photograph(shoot, takes);
    CHECK(develop_srgb8(picture).size() ==
          static_cast<std::size_t>(3 * shoot.camera.pixels.x * shoot.camera.pixels.y));
}

}  // namespace

TEST_CASE("one thread or many: the same layers and the same bytes") {
    const PlacedShoot shoot = small_night();
    std::vector<ExposedTake> alone;
    std::vector<std::uint8_t> bytes;
    for (const std::size_t threads : {1u, 2u, 5u}) {
        const tbb::global_control limit(tbb::global_control::max_allowed_parallelism, threads);
        const std::vector<ExposedTake> takes =
            exposed_all(shoot, {.quality = Quality::draft, .bounces = 2});
        const std::vector<std::uint8_t> now = develop_srgb8(photograph(shoot, takes));
        if (alone.empty()) {
            alone = takes;
            bytes = now;
            continue;
        }
        REQUIRE(takes.size() == alone.size());
        for (std::size_t t = 0; t < takes.size(); ++t) {
            check_same_layers(alone[t], takes[t]);
            CHECK(film_lxs(shoot.camera, alone[t]).pixels ==
                  film_lxs(shoot.camera, takes[t]).pixels);
        }
        CHECK(now == bytes);
    }
}

TEST_CASE("twice the flux, or a stop more, is twice the lamp's layers and leaves the rest") {
    PlacedShoot shoot = small_night();
    const ExposedTake plain = exposed(shoot, quick);
    PlacedShoot stronger = shoot;
    stronger.lamps[0].flux_lm *= 2.0;
    const ExposedTake twice = exposed(stronger, quick);
    shoot.takes[0].lamp_stops = {{"warm", 1.0}};
    const ExposedTake stop_more = exposed(shoot, quick);
    for (const ExposedTake* take : {&twice, &stop_more}) {
        check_times(layer_of(plain, "warm.surface"), 2.0, layer_of(*take, "warm.surface"));
        check_times(layer_of(plain, "warm.trail"), 2.0, layer_of(*take, "warm.trail"));
        check_times(layer_of(plain, "post.surface"), 1.0, layer_of(*take, "post.surface"));
        check_times(layer_of(plain, "sky.surface"), 1.0, layer_of(*take, "sky.surface"));
        check_times(layer_of(plain, "sky.view"), 1.0, layer_of(*take, "sky.view"));
    }
}

// A layer's noise pattern hangs on the lamp's place in the list, so another order may only change
// it within the noise.
TEST_CASE("lamps in another order leave the layers as they are") {
    PlacedShoot shoot = small_night();
    const ExposedTake one = exposed(shoot, {});
    std::swap(shoot.lamps[0], shoot.lamps[1]);
    const ExposedTake other = exposed(shoot, {});
    REQUIRE(one.layers.size() == other.layers.size());
    for (const Layer& layer : one.layers) {
        const FilmsApart apart =
            films_apart(layer_of(one, layer.id.text()), layer_of(other, layer.id.text()));
        CHECK_MESSAGE(apart.sums < 1e-3, layer.id.text());
        CHECK_MESSAGE(apart.pixels < 0.02, layer.id.text());
    }
}

TEST_CASE("takes in another order, or alone, are the same takes") {
    PlacedShoot shoot = small_night();
    const std::vector<ExposedTake> both = exposed_all(shoot, quick);
    REQUIRE(both.size() == 2);
    CHECK(both[0].name == "take");
    shoot.photograph.takes = {"without", "take"};
    const std::vector<ExposedTake> turned = exposed_all(shoot, quick);
    REQUIRE(turned.size() == 2);
    CHECK(turned[0].name == "without");
    check_same_layers(both[0], turned[1]);
    check_same_layers(both[1], turned[0]);
    const auto alone = expose(shoot, quick, {}, {"without"});
    REQUIRE(alone.has_value());
    REQUIRE(alone->size() == 1);
    check_same_layers(both[1], alone->front());
}

// Positions round differently elsewhere: rays at edges may fall to the other side, so a few pixels
// move by their noise. 37 m keep single precision to 4 micrometres.
TEST_CASE("the whole world moved: the same film") {
    PlacedShoot shoot = small_night();
    shoot.photograph.takes = {"take"};
    const ExposedTake here = exposed(shoot, {});
    const Vec3 by_m{37.0, -21.0, 0.0};
    for (Subject& subject : shoot.subjects) subject.position_m += by_m;
    for (Mesh& mesh : shoot.meshes) move_mesh(mesh, by_m);
    shoot.flights[0].centre_m += Vec2(by_m);
    *shoot.lamps[1].position_m += by_m;
    shoot.camera.position_m += by_m;
    *shoot.camera.look_at_m += by_m;
    const ExposedTake there = exposed(shoot, {});
    for (const Layer& layer : here.layers) {
        const FilmsApart apart =
            films_apart(layer_of(here, layer.id.text()), layer_of(there, layer.id.text()));
        CHECK_MESSAGE(apart.sums < 2e-3, layer.id.text(), " ", apart.sums);
        CHECK_MESSAGE(apart.pixels < 0.02, layer.id.text(), " ", apart.pixels);
    }
}

TEST_CASE("the world mirrored: the film mirrored") {
    PlacedShoot shoot = small_night();
    shoot.photograph.takes = {"take"};
    shoot.sky.glow_bearing_deg = 30.0;
    shoot.camera.position_m.x = 0.0;
    const ExposedTake one = exposed(shoot, {});
    for (Mesh& mesh : shoot.meshes) {
        for (glm::vec3& p : mesh.positions) p.x = -p.x;
        for (glm::vec3& n : mesh.normals) n.x = -n.x;
        for (auto& corners : mesh.triangles) std::swap(corners[1], corners[2]);
    }
    shoot.flights[0].clockwise = false;
    shoot.lamps[1].position_m->x *= -1.0;
    shoot.sky.glow_bearing_deg = -30.0;
    const ExposedTake other = exposed(shoot, {});
    for (const Layer& layer : one.layers) {
        const FilmsApart apart = films_apart(reduced(layer_of(one, layer.id.text())),
                                             reduced(mirrored(layer_of(other, layer.id.text()))));
        CHECK_MESSAGE(apart.sums < 5e-3, layer.id.text(), " ", apart.sums);
        CHECK_MESSAGE(apart.pixels < 0.02, layer.id.text(), " ", apart.pixels);
    }
}

TEST_CASE("a full lap lights alike wherever it starts") {
    PlacedShoot shoot = small_night();
    shoot.photograph.takes = {"take"};
    const ExposedTake one = exposed(shoot, {});
    shoot.flights[0].start_bearing_deg = 71.0;
    const ExposedTake other = exposed(shoot, {});
    const FilmsApart apart =
        films_apart(layer_of(one, "warm.surface"), layer_of(other, "warm.surface"));
    CHECK(apart.sums < 2e-3);
    // As far as the noise of two pictures: good is 4 % from fine here (see below).
    CHECK(apart.pixels < 0.04);
    CHECK_RELATIVE(sum_of(layer_of(one, "warm.trail")), sum_of(layer_of(other, "warm.trail")),
                   2e-3);
}

TEST_CASE("draft, good and fine converge") {
    PlacedShoot shoot = small_night();
    shoot.photograph.takes = {"take"};
    const auto film = [&](Quality quality) {
        return layer_of(exposed(shoot, {.quality = quality, .bounces = 0}), "warm.surface");
    };
    const Image fine = film(Quality::fine);
    const FilmsApart draft = films_apart(fine, film(Quality::draft));
    const FilmsApart good = films_apart(fine, film(Quality::good));
    MESSAGE("against fine: draft ", draft.pixels, ", good ", good.pixels);
    CHECK(draft.sums < 5e-3);
    CHECK(good.sums < 3e-3);
    CHECK(good.pixels < draft.pixels);
}

// An arc flown in two takes adds up to the arc flown in one: splitting the shutter.
TEST_CASE("two halves of a pass add up to the whole") {
    PlacedShoot shoot = dark_shoot({16, 12});
    Flight whole;
    whole.shape = FlightShape::line;
    whole.from_m = Vec3(-6.0, 0.0, 4.0);
    whole.to_m = Vec3(6.0, 0.0, 4.0);
    whole.speed_m_s = 1.0;
    fly(shoot, bare_lamp("lamp", 100.0), whole);
    shoot.camera.look_at_m = Vec3(0.0, 0.0, 1.0);
    const Image all = layer_of(exposed(shoot, {.bounces = 0}), "lamp.surface");
    shoot.flights[0].to_m = Vec3(0.0, 0.0, 4.0);
    const Image first = layer_of(exposed(shoot, {.bounces = 0}), "lamp.surface");
    shoot.flights[0].from_m = Vec3(0.0, 0.0, 4.0);
    shoot.flights[0].to_m = Vec3(6.0, 0.0, 4.0);
    const Image second = layer_of(exposed(shoot, {.bounces = 0}), "lamp.surface");
    Image sum = first;
    for (std::size_t i = 0; i < sum.pixels.size(); ++i) sum.pixels[i] += second.pixels[i];
    const FilmsApart apart = films_apart(all, sum);
    CHECK(apart.sums < 1e-3);
    CHECK(apart.pixels < 0.02);
}

TEST_CASE("a stopped render returns nothing, whenever it is stopped") {
    const PlacedShoot shoot = small_night();
    std::stop_source before;
    before.request_stop();
    CHECK_FALSE(expose(shoot, quick, {.progress = {}, .stop = before.get_token()}).has_value());
    for (const double share : {0.05, 0.5}) {
        std::stop_source within;
        const auto progress = [&](double done) {
            if (done >= share) within.request_stop();
        };
        CHECK_FALSE(
            expose(shoot, quick, {.progress = progress, .stop = within.get_token()}).has_value());
    }
}

TEST_CASE("progress rises to the whole") {
    std::vector<double> shares;
    const auto progress = [&](double done) { shares.push_back(done); };
    REQUIRE(expose(small_night(), quick, {.progress = progress, .stop = {}}).has_value());
    REQUIRE_FALSE(shares.empty());
    CHECK(std::ranges::is_sorted(shares));
    CHECK_WITHIN(shares.back(), 1.0, 1e-9);
}

TEST_CASE("odd settings leave sound numbers on the film") {
    SUBCASE("camera inside a mesh") {
        PlacedShoot shoot = small_night();
        shoot.camera.position_m = {0.1, 0.0, 0.9};
        check_sound(shoot);
    }
    SUBCASE("lamp on the ground") {
        PlacedShoot shoot = small_night();
        shoot.lamps[1].position_m = Vec3(-1.0, -3.0, 0.0);
        shoot.flights[0].height_m = 0.0;
        check_sound(shoot);
    }
    SUBCASE("lamp at the lens") {
        PlacedShoot shoot = small_night();
        shoot.lamps[1].position_m = shoot.camera.position_m;
        check_sound(shoot);
    }
    SUBCASE("camera straight down and straight up") {
        PlacedShoot shoot = small_night();
        shoot.camera.position_m = {0.0, 0.0, 12.0};
        shoot.camera.look_at_m = Vec3(0.0, 0.0, 0.0);
        check_sound(shoot);
        shoot.camera.position_m = {0.0, 0.0, 3.0};
        shoot.camera.look_at_m = Vec3(0.0, 0.0, 9.0);
        check_sound(shoot);
    }
    SUBCASE("film of one pixel, and of odd sides") {
        PlacedShoot shoot = small_night();
        shoot.camera.pixels = {1, 1};
        check_sound(shoot);
        shoot.camera.pixels = {7, 5};
        check_sound(shoot);
        shoot.camera.pixels = {1, 9};
        check_sound(shoot);
    }
    SUBCASE("no lamps at all, and a take without light or subjects") {
        PlacedShoot shoot = small_night();
        shoot.takes[1].flights.clear();
        shoot.takes[1].subjects = std::vector<std::string>{};
        check_sound(shoot);
        shoot.lamps.clear();
        shoot.flights.clear();
        shoot.takes[0].flights.clear();
        check_sound(shoot);
    }
    SUBCASE("a flight that goes nowhere, a beam to the horizon, a lamp without a face") {
        PlacedShoot shoot = small_night();
        shoot.flights[0].shape = FlightShape::line;
        shoot.flights[0].from_m = shoot.flights[0].to_m = Vec3(0.0, -2.0, 3.0);
        shoot.lamps[0].aim = Vec3(1.0, 0.0, 0.0);
        shoot.lamps[0].beam_deg = 1.0;
        shoot.lamps[0].face_mm = 0.001;
        check_sound(shoot);
    }
    SUBCASE("black ground, white subjects, a black sky") {
        PlacedShoot shoot = small_night();
        shoot.ground.reflectance = Rgb(0.0);
        shoot.sky.horizontal_lx = 0.0;
        for (Mesh& mesh : shoot.meshes) mesh.materials[0].reflectance = Rgb(1.0);
        check_sound(shoot);
    }
}
