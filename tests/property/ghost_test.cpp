// Subjects that come and go while the shutter is open: on film they are there in proportion to the
// light that fell while they stood there.
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

constexpr double shutter_s = 8.0;
const RenderSettings quick{.quality = Quality::draft, .bounces = 1};

/// Sky, a ball that stays and one named "ghost", a standing lamp, and one that passes slowly behind
/// the ghost from the left: its middle at half of the shutter time, behind the ghost from 3 s to 5.
PlacedShoot haunted() {
    PlacedShoot shoot = dark_shoot({42, 30});
    shoot.sky.horizontal_lx = 0.2;
    shoot.camera.position_m = {0.0, -9.0, 1.5};
    shoot.camera.look_at_m = Vec3(0.0, 0.0, 1.2);
    shoot.camera.focal_mm = 24.0;
    shoot.camera.f_number = 4.0;
    shoot.camera.shutter_s = shutter_s;
    add_subject(shoot, "ball", icosphere({2.2, 1.0, 0.7}, 0.7, 3, false));
    add_subject(shoot, "ghost", icosphere({0.0, 0.0, 1.0}, 1.0, 3, false));
    Flight pass;
    pass.shape = FlightShape::line;
    pass.from_m = Vec3(-4.0, 2.0, 1.4);
    pass.to_m = Vec3(4.0, 2.0, 1.4);
    pass.speed_m_s = 8.0 / shutter_s;
    fly(shoot, bare_lamp("passing", 30.0), pass);
    stand(shoot, bare_lamp("post", 20.0), {-3.0, -2.0, 2.0});
    return shoot;
}

/// The first take with the ghost there in these windows; nothing for always.
ExposedTake exposed_with_ghost(const std::optional<TimeWindows>& present_s,
                               const RenderSettings& settings = quick) {
    PlacedShoot shoot = haunted();
    shoot.subjects.back().present_s = present_s;
    return exposed(shoot, settings);
}

ExposedTake exposed_without_ghost(const RenderSettings& settings = quick) {
    PlacedShoot shoot = haunted();
    shoot.subjects.pop_back();
    shoot.meshes.pop_back();
    return exposed(shoot, settings);
}

/// one * share + other * (1 - share).
Image mixed(const Image& one, double share, const Image& other) {
    Image mix(one.width, one.height);
    add_scaled(mix.pixels, one.pixels, static_cast<float>(share));
    add_scaled(mix.pixels, other.pixels, static_cast<float>(1.0 - share));
    return mix;
}

/// Largest difference of two films in luminance, over the mean of the first.
double farthest_apart(const Image& one, const Image& other) {
    double most = 0.0;
    for (std::size_t i = 0; i < one.pixels.size(); ++i)
        most =
            std::max(most, std::abs(luminance_of(one.pixels[i]) - luminance_of(other.pixels[i])));
    return most * static_cast<double>(one.pixels.size()) / sum_of(one);
}

/// Root of the mean square of the difference, over the mean.
double rms_apart(const Image& one, const Image& other) {
    double squares = 0.0;
    for (std::size_t i = 0; i < one.pixels.size(); ++i)
        squares += std::pow(luminance_of(one.pixels[i]) - luminance_of(other.pixels[i]), 2.0);
    const auto count = static_cast<double>(one.pixels.size());
    return std::sqrt(squares / count) * count / sum_of(one);
}

double peak_of(const Image& film) {
    double peak = 0.0;
    for (const glm::vec3& pixel : film.pixels) peak = std::max(peak, luminance_of(pixel));
    return peak;
}

/// Largest difference over the brightest pixel of the first: for trails, which leave most dark.
double farthest_of_peak(const Image& one, const Image& other) {
    return farthest_apart(one, other) * sum_of(one) /
           (static_cast<double>(one.pixels.size()) * peak_of(one));
}

const std::vector<std::string> steady_layers{"sky.surface", "sky.view", "post.surface"};

/// Which way rays go for what bounces of lamps is a matter of all lamps that burn meanwhile, and so
/// of when the passing one does: their films then differ by their noise.
struct Steady {
    RenderSettings settings;
    std::vector<std::string> layers;
};
const std::vector<Steady> steady{
    {quick, {"sky.surface", "sky.view"}},
    {{.quality = Quality::draft, .bounces = 0}, {"sky.surface", "sky.view", "post.surface"}}};

}  // namespace

TEST_CASE("there for the whole shutter is always there: the same bytes") {
    const ExposedTake always = exposed_with_ghost(std::nullopt);
    for (const TimeWindows& present_s : {TimeWindows{{0.0, shutter_s}}, TimeWindows{{0.0, 99.0}},
                                         TimeWindows{{0.0, 3.0}, {3.0, shutter_s}}}) {
        const ExposedTake whole = exposed_with_ghost(present_s);
        REQUIRE(whole.layers.size() == always.layers.size());
        for (const Layer& layer : always.layers)
            CHECK_MESSAGE(
                layer_of(always, layer.id.text()).pixels == layer_of(whole, layer.id.text()).pixels,
                layer.id.text());
    }
}

TEST_CASE("there after the shutter has closed is never there: the same bytes") {
    const ExposedTake never = exposed_with_ghost(TimeWindows{{shutter_s, shutter_s + 5.0}});
    const ExposedTake without = exposed_without_ghost();
    for (const std::string& name : steady_layers)
        CHECK_MESSAGE(layer_of(never, name).pixels == layer_of(without, name).pixels, name);
}

// Light that stays as it is while the shutter is open falls for as long on the one as on the other.
// The times are binary fractions of the shutter time, so that only sums round.
TEST_CASE("under steady light a ghost is the mean of there and not there, by its time") {
    for (const auto& [settings, layers] : steady) {
        const ExposedTake with = exposed_with_ghost(std::nullopt, settings);
        const ExposedTake without = exposed_without_ghost(settings);
        for (const double there_s : {1.0, 4.0, 6.0}) {
            for (const double from_s : {0.0, 1.0}) {
                const ExposedTake ghost =
                    exposed_with_ghost(TimeWindows{{from_s, from_s + there_s}}, settings);
                for (const std::string& name : layers) {
                    const Image film = layer_of(with, name);
                    const Image mean = mixed(film, there_s / shutter_s, layer_of(without, name));
                    // The ghost is seen, and by more than what is tested.
                    REQUIRE(farthest_apart(film, layer_of(without, name)) > 0.05);
                    CHECK_MESSAGE(farthest_apart(mean, layer_of(ghost, name)) < 1e-5, name);
                }
            }
        }
    }
}

TEST_CASE("two ghosts who take turns: half of one, half of the other, both layers of one take") {
    for (const auto& [settings, layers] : steady) {
        PlacedShoot shoot = haunted();
        const ExposedTake first = exposed(shoot, settings);
        shoot.subjects.back().name = "second";
        shoot.meshes.back() = icosphere({-1.6, 0.5, 0.8}, 0.8, 3, false);
        const ExposedTake other = exposed(shoot, settings);
        shoot.subjects.back().present_s = TimeWindows{{4.0, 8.0}};
        add_subject(shoot, "ghost", icosphere({0.0, 0.0, 1.0}, 1.0, 3, false));
        shoot.subjects.back().present_s = TimeWindows{{0.0, 4.0}};
        const ExposedTake turns = exposed(shoot, settings);
        for (const std::string& name : layers)
            CHECK_MESSAGE(farthest_apart(mixed(layer_of(first, name), 0.5, layer_of(other, name)),
                                         layer_of(turns, name)) < 1e-5,
                          name);
    }
}

// A moving lamp's instants fall elsewhere when its lit time is cut, so films differ by their noise:
// at good up to 4 % of the mean (see film_test.cpp), and 0.3 % of the sum.
TEST_CASE("a ghost's times and all other times add up to always and never") {
    const RenderSettings good{.quality = Quality::good, .bounces = 0};
    const Image with = layer_of(exposed_with_ghost(std::nullopt, good), "passing.surface");
    const Image without = layer_of(exposed_without_ghost(good), "passing.surface");
    const Image some =
        layer_of(exposed_with_ghost(TimeWindows{{1.5, 4.5}}, good), "passing.surface");
    const Image rest = layer_of(exposed_with_ghost(TimeWindows{{0.0, 1.5}, {4.5, shutter_s}}, good),
                                "passing.surface");
    CHECK_RELATIVE(sum_of(some) + sum_of(rest), sum_of(with) + sum_of(without), 3e-3);
    CHECK(rms_apart(mixed(with, 0.5, without), mixed(some, 0.5, rest)) < 0.04);
    // The noise is well below what the ghost changes.
    CHECK(rms_apart(with, without) > 0.2);
}

TEST_CASE("a trail is hidden only while the ghost stands before it") {
    const Image hidden = layer_of(exposed_with_ghost(std::nullopt), "passing.trail");
    const Image open = layer_of(exposed_without_ghost(), "passing.trail");
    REQUIRE(sum_of(hidden) > 0.1 * sum_of(open));
    REQUIRE(sum_of(hidden) < 0.9 * sum_of(open));
    // It stands there while the lamp is behind it, or while it isn't.
    const Image then = layer_of(exposed_with_ghost(TimeWindows{{2.0, 6.0}}), "passing.trail");
    const Image else_s =
        layer_of(exposed_with_ghost(TimeWindows{{0.0, 2.0}, {6.0, 8.0}}), "passing.trail");
    // The lamp's steps fall elsewhere; there are thousands to a pass.
    CHECK_RELATIVE(sum_of(then), sum_of(hidden), 1e-3);
    CHECK_RELATIVE(sum_of(else_s), sum_of(open), 1e-3);
    CHECK(farthest_of_peak(hidden, then) < 0.01);
    CHECK(farthest_of_peak(open, else_s) < 0.01);
    // Gone at half of the pass: the left half stays hidden, the right one shows.
    const Image half = layer_of(exposed_with_ghost(TimeWindows{{0.0, 4.0}}), "passing.trail");
    const auto column_sum = [](const Image& film, int from_x, int to_x) {
        double sum = 0.0;
        for (int y = 0; y < film.height; ++y)
            for (int x = from_x; x < to_x; ++x) sum += luminance_of(film.at(x, y));
        return sum;
    };
    CHECK_RELATIVE(column_sum(half, 0, 20), column_sum(hidden, 0, 20), 1e-3);
    CHECK_RELATIVE(column_sum(half, 22, 42), column_sum(open, 22, 42), 1e-3);
}

TEST_CASE("takes that share some of their sets of subjects: threads, order, progress") {
    PlacedShoot shoot = haunted();
    shoot.subjects.back().present_s = TimeWindows{{2.0, 5.0}};
    Take second = shoot.takes.front();
    second.name = "without";
    second.subjects = std::vector<std::string>{"ball"};
    second.f_number = 8.0;
    shoot.takes.push_back(second);
    shoot.photograph.takes = {"without", "take"};
    std::vector<std::uint8_t> bytes;
    for (const std::size_t threads : {1u, 4u}) {
        const tbb::global_control limit(tbb::global_control::max_allowed_parallelism, threads);
        std::vector<double> shares;
        const Watch watch{[&](double done) { shares.push_back(done); }, {}};
        const auto takes = expose(shoot, quick, watch);
        REQUIRE(takes.has_value());
        REQUIRE(takes->size() == 2);
        CHECK(takes->front().name == "without");
        CHECK(std::ranges::is_sorted(shares));
        CHECK_WITHIN(shares.back(), 1.0, 1e-9);
        const std::vector<std::uint8_t> now = develop_srgb8(photograph(shoot, *takes));
        CHECK((bytes.empty() || now == bytes));
        bytes = now;
        // The shared set's sky serves both, each at its own time and f-number.
        const Image whole = layer_of(takes->front(), "sky.view");
        PlacedShoot plain = shoot;
        plain.takes[1].f_number.reset();
        plain.takes[1].shutter_s = 5.0;
        const auto five = expose(plain, quick, {}, {"without"});
        REQUIRE(five.has_value());
        CHECK(farthest_apart(layer_of(five->front(), "sky.view"),
                             mixed(whole, 4.0 * 5.0 / shutter_s, Image(42, 30))) < 1e-5);
    }
}
