#include "cli/sheets/guides.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <string>
#include <vector>

#include <fmt/format.h>

#include "cli/sheets/guide_frame.h"
#include "cli/sheets/guide_ticks.h"
#include "tests/film.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

/// A line before the camera from left to right, 16 m in 8 s, in a picture whose middle it crosses.
PlacedShoot line_before_camera(const glm::ivec2& pixels = {480, 320}) {
    PlacedShoot shoot = dark_shoot(pixels);
    shoot.camera.position_m = {0.0, 0.0, 2.0};
    shoot.camera.bearing_deg = 0.0;
    shoot.camera.tilt_deg = 10.0;
    shoot.camera.focal_mm = 24.0;
    shoot.camera.shutter_s = 8.0;
    Flight flight;
    flight.shape = FlightShape::line;
    flight.from_m = Vec3(-8.0, 20.0, 7.0);
    flight.to_m = Vec3(8.0, 20.0, 7.0);
    flight.lap_s = 8.0;
    fly(shoot, bare_lamp("warm", 10.0), flight);
    return shoot;
}

Vec2 seen_px(const PlacedShoot& shoot, const Vec3& place_m) {
    const auto place = Projection(shoot.camera).film_px(place_m);
    REQUIRE(place.has_value());
    return *place;
}

GuidePath only_path(const PlacedShoot& shoot) {
    std::vector<GuidePath> paths = guide_paths(shoot, {}, 2.0);
    REQUIRE(paths.size() == 1);
    return paths.front();
}

std::vector<std::uint8_t> drawn(const PlacedShoot& shoot, std::uint8_t ground) {
    const auto count = static_cast<std::size_t>(3 * shoot.camera.pixels.x * shoot.camera.pixels.y);
    std::vector<std::uint8_t> codes(count, ground);
    Canvas canvas(shoot.camera.pixels.x, shoot.camera.pixels.y, std::span<std::uint8_t>(codes));
    draw_guides(canvas, shoot, {});
    return codes;
}

/// Whether a pixel or one of those about it has the colour of the first take's ink.
bool is_inked(const std::vector<std::uint8_t>& codes, int width, const Vec2& place) {
    const Colour8 ink = guide_colour(0);
    for (int y = -1; y <= 1; ++y)
        for (int x = -1; x <= 1; ++x) {
            const auto at = 3 * static_cast<std::size_t>((static_cast<int>(place.y) + y) * width +
                                                         static_cast<int>(place.x) + x);
            const int apart = std::abs(codes[at] - ink.r) + std::abs(codes[at + 1] - ink.g) +
                              std::abs(codes[at + 2] - ink.b);
            if (apart < 60) return true;
        }
    return false;
}

/// Shares of the way along which a line of the test above is inked, from one time to another.
double inked_share(const PlacedShoot& shoot, double from_s, double to_s) {
    const std::vector<std::uint8_t> codes = drawn(shoot, 20);
    int inked = 0;
    constexpr int probes = 400;
    for (int i = 0; i < probes; ++i) {
        const double time_s = std::lerp(from_s, to_s, (i + 0.5) / probes);
        const Vec2 place = seen_px(shoot, {-8.0 + 2.0 * time_s, 20.0, 7.0});
        inked += is_inked(codes, shoot.camera.pixels.x, place) ? 1 : 0;
    }
    return inked / static_cast<double>(probes);
}

}  // namespace

TEST_CASE("guides: a path lies where the lens images it, with a tick at each second") {
    const PlacedShoot shoot = line_before_camera();
    const GuidePath path = only_path(shoot);
    CHECK(path.from_s == 0.0);
    CHECK(path.until_s == 8.0);
    CHECK_FALSE(path.cut_off);
    REQUIRE(path.seconds.size() == 9);
    for (std::size_t second = 0; second < 9; ++second) {
        const GuideTick& tick = path.seconds[second];
        CHECK_WITHIN(tick.time_s, static_cast<double>(second), 1e-12);
        const Vec2 place = seen_px(shoot, {-8.0 + 2.0 * static_cast<double>(second), 20.0, 7.0});
        CHECK(glm::distance(tick.place, place) < 1e-6);
        CHECK(tick.along.x > 0.99);
    }
    REQUIRE(path.start.has_value());
    REQUIRE(path.end.has_value());
    CHECK(glm::distance(*path.start, path.seconds.front().place) < 1e-9);
    CHECK(glm::distance(*path.end, path.seconds.back().place) < 1e-9);
    REQUIRE(path.stretches.size() == 1);
    CHECK(path.stretches.front().line == GuideLine::burning);
    for (const Vec2& place : path.stretches.front().places) CHECK_WITHIN(place.y, path.start->y, 1.0);
}

TEST_CASE("guides: straying, flashes and the drone's own lights are no part of the plan") {
    PlacedShoot shoot = line_before_camera();
    const GuidePath planned = only_path(shoot);
    shoot.flights.front().wander_m = 2.0;
    shoot.lamps.front().pulse = {60.0, 0.1};
    const GuidePath flown = only_path(shoot);
    REQUIRE(flown.seconds.size() == planned.seconds.size());
    for (std::size_t i = 0; i < planned.seconds.size(); ++i)
        CHECK(glm::distance(flown.seconds[i].place, planned.seconds[i].place) < 1e-12);
    CHECK(flown.stretches.size() == 1);
}

TEST_CASE("guides: what is dark, and what is turned away, is drawn otherwise than what burns") {
    PlacedShoot shoot = line_before_camera({960, 640});
    CHECK(inked_share(shoot, 2.2, 5.8) > 0.9);
    shoot.lamps.front().lit_s = TimeWindows{{0.0, 2.0}, {6.0, 8.0}};
    const GuidePath dark = only_path(shoot);
    REQUIRE(dark.stretches.size() == 3);
    CHECK(dark.stretches[1].line == GuideLine::dark);
    CHECK(glm::distance(dark.stretches[1].places.front(), seen_px(shoot, {-4.0, 20.0, 7.0})) < 1e-6);
    CHECK(glm::distance(dark.stretches[1].places.back(), seen_px(shoot, {4.0, 20.0, 7.0})) < 1e-6);
    const double dashed = inked_share(shoot, 2.2, 5.8);
    CHECK(dashed > 0.3);
    CHECK(dashed < 0.85);

    // A beam to the camera, and one away from it in the middle.
    shoot = line_before_camera({960, 640});
    shoot.lamps.front() = lobe_lamp("warm", 100.0, 8.0);
    shoot.lamps.front().aim = Vec3(0.0, -1.0, -0.2);
    PenStretch away;
    away.flight = shoot.flights.front().name;
    away.part = {0.25, 0.75};
    away.aim = Vec3(0.0, 1.0, 0.0);
    shoot.stretches = {away};
    const GuidePath turned = only_path(shoot);
    REQUIRE(turned.stretches.size() == 3);
    CHECK(turned.stretches[0].line == GuideLine::burning);
    CHECK(turned.stretches[1].line == GuideLine::turned_away);
    CHECK(turned.stretches[2].line == GuideLine::burning);
    CHECK(inked_share(shoot, 2.2, 5.8) < 0.85);
}

TEST_CASE("guides: what the shutter cuts off is not drawn, and said to be cut off") {
    PlacedShoot shoot = line_before_camera();
    shoot.camera.shutter_s = 5.0;
    const GuidePath path = only_path(shoot);
    CHECK(path.cut_off);
    CHECK(path.until_s == 5.0);
    CHECK(path.seconds.size() == 6);
    CHECK(glm::distance(*path.end, seen_px(shoot, {2.0, 20.0, 7.0})) < 1e-6);
}

TEST_CASE("guides: the horizon is what lies level with the lens, however the camera is turned") {
    for (const double roll_deg : {0.0, 7.0, -30.0}) {
        PlacedShoot shoot = line_before_camera();
        shoot.camera.roll_deg = roll_deg;
        const auto horizon = horizon_places(shoot.camera);
        REQUIRE_FALSE(horizon.empty());
        const Projection projection(shoot.camera);
        for (const auto& piece : horizon)
            for (const Vec2& place : piece) CHECK_WITHIN(projection.direction(place).z, 0.0, 1e-6);
    }
    PlacedShoot up = line_before_camera();
    up.camera.tilt_deg = 90.0;
    CHECK(horizon_places(up.camera).empty());
}

TEST_CASE("guides: thirds lie at thirds, and nothing else touches an empty picture") {
    PlacedShoot shoot = dark_shoot({300, 240});
    shoot.camera.tilt_deg = 80.0;  // no horizon
    const std::vector<std::uint8_t> codes = drawn(shoot, 20);
    const auto code = [&](int x, int y) {
        return codes[3 * static_cast<std::size_t>(y * 300 + x)];
    };
    for (const int x : {100, 200})
        CHECK(std::max(code(x - 1, 31), code(x, 31)) > 25);
    for (const int y : {80, 160})
        CHECK(std::max(code(31, y - 1), code(31, y)) > 25);
    CHECK(code(150, 120) == 20);
    CHECK(code(50, 40) == 20);
}

TEST_CASE("guides: the same ink in eight bits and in sixteen") {
    const PlacedShoot shoot = line_before_camera();
    const std::vector<std::uint8_t> eight = drawn(shoot, 100);
    std::vector<std::uint16_t> sixteen(eight.size(), 100 * 257);
    Canvas canvas(480, 320, std::span<std::uint16_t>(sixteen));
    draw_guides(canvas, shoot, {});
    int worst = 0, changed = 0;
    for (std::size_t i = 0; i < eight.size(); ++i) {
        worst = std::max(worst, std::abs(static_cast<int>(std::lround(sixteen[i] / 257.0)) - eight[i]));
        changed += eight[i] != 100 ? 1 : 0;
    }
    // Ink over shade is rounded twice in eight bits.
    CHECK(worst <= 2);
    CHECK(changed > 1000);
}

TEST_CASE("guides: ticks keep apart, and long steps come with slow flights") {
    PlacedShoot shoot = line_before_camera();
    shoot.camera.shutter_s = 600.0;
    shoot.flights.front().lap_s = 600.0;
    const GuidePath path = only_path(shoot);
    const std::vector<GuidePath> paths{path};
    const TickSteps steps = tick_steps(paths, 8.0);
    CHECK(steps.short_s >= 5.0);
    const PathTicks ticks = ticks_of(path, steps, 8.0);
    std::vector<Vec2> places;
    for (const GuideTick& tick : ticks.short_ones) places.push_back(tick.place);
    for (const GuideTick& tick : ticks.long_ones) places.push_back(tick.place);
    REQUIRE(places.size() > 5);
    std::ranges::sort(places, {}, &Vec2::x);
    for (std::size_t i = 1; i < places.size(); ++i)
        CHECK(glm::distance(places[i - 1], places[i]) >= 8.0);
}

TEST_CASE("guides: strange pictures, paths and names do no harm") {
    for (const glm::ivec2& pixels :
         {glm::ivec2(1, 1), glm::ivec2(20, 10), glm::ivec2(3, 400), glm::ivec2(1200, 8)})
        drawn(line_before_camera(pixels), 30);
    for (const double tilt_deg : {-90.0, 90.0}) {
        PlacedShoot shoot = line_before_camera();
        shoot.camera.tilt_deg = tilt_deg;
        drawn(shoot, 30);
    }
    PlacedShoot behind = line_before_camera();
    behind.camera.bearing_deg = 180.0;
    drawn(behind, 30);
    PlacedShoot through = line_before_camera();
    through.flights.front().from_m = Vec3(0.0, -10.0, 2.0);
    through.flights.front().to_m = Vec3(0.0, 10.0, 2.0);
    drawn(through, 30);
    PlacedShoot hover = line_before_camera();
    hover.flights.front().shape = FlightShape::hover;
    hover.flights.front().centre_m = {0.0, 20.0};
    drawn(hover, 30);
    PlacedShoot many = line_before_camera();
    for (int i = 0; i < 60; ++i) {
        Flight flight = many.flights.front();
        flight.from_m = Vec3(-8.0, 20.0, 2.0 + 0.1 * i);
        flight.to_m = Vec3(8.0, 20.0, 8.0 - 0.1 * i);
        fly(many, bare_lamp(fmt::format("{:x>159}", i), 10.0), flight);
    }
    Point& point = many.points.emplace_back();
    point.name = std::string(159, 'p');
    point.position_m = {0.0, 20.0, 2.0};
    const std::vector<std::uint8_t> codes = drawn(many, 30);
    CHECK(std::ranges::any_of(codes, [](std::uint8_t code) { return code != 30; }));
}
