#include "cli/sheets/exposure_overlay.h"

#include <array>
#include <cmath>
#include <set>

#include "cli/sheets/overlay_scale.h"
#include "cli/sheets/step_colours.h"
#include "renderer/develop/tone.h"
#include "renderer/meter/exposure_steps.h"
#include "tests/film.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

using Codes = std::array<int, 3>;

Codes codes_of(Colour8 colour) {
    return {colour.r, colour.g, colour.b};
}

Codes pixel(const Canvas& canvas, int x, int y) {
    const std::size_t at =
        3 * (static_cast<std::size_t>(y) * static_cast<std::size_t>(canvas.width()) +
             static_cast<std::size_t>(x));
    return {canvas.codes()[at], canvas.codes()[at + 1], canvas.codes()[at + 2]};
}

Image even_picture(int width, int height, double stops) {
    Image picture(width, height);
    std::ranges::fill(picture.pixels, glm::vec3(static_cast<float>(std::exp2(stops))));
    return picture;
}

MeterReading reading_of(const Image& picture) {
    MeterReading reading{};
    reading.step_shares = shares_by_step(picture);
    reading.takes = {{"take", {}}};
    return reading;
}

Canvas overlay_of(const Image& picture) {
    return exposure_overlay(dark_shoot({picture.width, picture.height}), picture,
                            reading_of(picture));
}

std::set<Codes> colours_within(const Canvas& canvas, int width, int height) {
    std::set<Codes> colours;
    for (int y = 0; y < height; ++y)
        for (int x = 0; x < width; ++x) colours.insert(pixel(canvas, x, y));
    return colours;
}

/// CIE 1976 L* (CIE 15) of an sRGB colour.
double lightness(Colour8 colour) {
    const double y = luminance(Rgb(srgb_decode(colour.r / 255.0), srgb_decode(colour.g / 255.0),
                                   srgb_decode(colour.b / 255.0)));
    return 116.0 * std::cbrt(y) - 16.0;
}

}  // namespace

TEST_CASE("every stop has its colour, and each is lighter than the one before") {
    REQUIRE(first_coloured_step() + coloured_steps() == step_edges_stops().size());
    CHECK(step_edges_stops()[first_coloured_step() - 1] == black_stops);
    double before = lightness(colour_of_step(0));
    for (std::size_t i = 0; i <= coloured_steps(); ++i) {
        CAPTURE(i);
        const double here = lightness(colour_of_step(first_coloured_step() + i));
        // CIE 1976: a step of 1 in L* is about the least that can be told apart side by side.
        CHECK(here > before + 7.0);
        before = here;
    }
    for (const double stops : {-5.5, -3.5, -0.5, 0.5, 2.5}) {
        CAPTURE(stops);
        const Canvas canvas = overlay_of(even_picture(700, 60, stops));
        CHECK(colours_within(canvas, 700, 60) ==
              std::set<Codes>{codes_of(colour_of_step(step_of(std::exp2(stops))))});
    }
}

TEST_CASE("black and burnt are hatched, in strokes of their own") {
    const Canvas black = overlay_of(even_picture(700, 60, -8.5));
    CHECK(colours_within(black, 700, 60) ==
          std::set<Codes>{codes_of(colour_of_step(0)), codes_of(black_stroke)});
    const Canvas burnt = overlay_of(even_picture(700, 60, 4.0));
    CHECK(colours_within(burnt, 700, 60) ==
          std::set<Codes>{{255, 255, 255}, codes_of(burnt_stroke)});
}

TEST_CASE("what is burnt has a dark rim") {
    Image picture = even_picture(700, 80, 2.5);
    for (int y = 30; y < 34; ++y)
        for (int x = 0; x < 700; ++x) picture.at(x, y) = glm::vec3(8.0f);
    const Canvas canvas = overlay_of(picture);
    CHECK(pixel(canvas, 350, 29) == Codes{0, 0, 0});
    CHECK(pixel(canvas, 350, 34) == Codes{0, 0, 0});
    CHECK(pixel(canvas, 350, 20) == codes_of(colour_of_step(step_of(std::exp2(2.5)))));
}

TEST_CASE("the photograph keeps its size; the scale stands below it; small ones are enlarged") {
    const Canvas large = overlay_of(even_picture(960, 640, -1.5));
    CHECK(large.width() == 960);
    CHECK(large.height() > 640);
    CHECK(large.height() < 640 + 200);
    CHECK(colours_within(large, 960, 640).size() == 1);
    Image small = even_picture(96, 64, -1.5);
    small.at(0, 0) = glm::vec3(1.5f);
    const Canvas enlarged = overlay_of(small);
    CHECK(enlarged.width() == 7 * 96);
    CHECK(pixel(enlarged, 6, 6) == codes_of(colour_of_step(step_of(1.5))));
    CHECK(pixel(enlarged, 7, 6) == codes_of(colour_of_step(step_of(std::exp2(-1.5)))));
}

TEST_CASE("points and trails are marked where they are; those out of the frame are not") {
    const Image picture = even_picture(960, 640, -1.5);
    MeterReading reading = reading_of(picture);
    PointReading point{};
    point.name = "face";
    point.in_frame = true;
    point.place_px = {400.0, 300.0};
    point.picture_stops = -1.5;
    reading.points = {point};
    point.in_frame = false;
    point.place_px = {100.0, 100.0};
    reading.points.push_back(point);
    TrailReading trail{};
    trail.stops_over_saturation = 5.0;
    trail.peak_px = {700.0, 200.0};
    trail.width_seen_px = 6.3;
    reading.trail["warm"] = trail;
    const Canvas canvas = exposure_overlay(dark_shoot({960, 640}), picture, reading);
    const Codes plain = codes_of(colour_of_step(step_of(std::exp2(-1.5))));
    const auto marked = [&](int left, int top, int size) {
        int count = 0;
        for (int y = top; y < top + size; ++y)
            for (int x = left; x < left + size; ++x) count += pixel(canvas, x, y) != plain ? 1 : 0;
        return count;
    };
    CHECK(marked(385, 285, 30) > 30);
    CHECK(marked(685, 185, 30) > 30);
    CHECK(marked(40, 40, 120) == 0);
    // The pixel that was metered stays to be seen.
    CHECK(pixel(canvas, 400, 300) == plain);
}

TEST_CASE("many points in one place, at the edge, with long and odd names") {
    const Image picture = even_picture(320, 200, -1.5);
    MeterReading reading = reading_of(picture);
    for (int i = 0; i < 40; ++i) {
        PointReading point{};
        point.name = std::string(150, static_cast<char>('a' + i % 26)) + "\xf0\x9f\x9a\x81";
        point.in_frame = true;
        point.hidden = i % 2 == 0;
        point.place_px = {i % 3 == 0 ? 319.9 : 0.0, i % 2 == 0 ? 199.9 : 0.0};
        point.picture_stops = -std::numeric_limits<double>::infinity();
        reading.points.push_back(point);
    }
    Shoot shoot = dark_shoot({320, 200});
    shoot.title = std::string(200, 'W');
    const Canvas canvas = exposure_overlay(shoot, picture, reading);
    CHECK(canvas.width() == 640);
}
