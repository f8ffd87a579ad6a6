// Diffraction as it comes out on film, against the published figures of Airy's pattern.
#include "renderer/lens/diffraction.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include "renderer/lens/point_spread.h"
#include "scene/basics/angle.h"
#include "tests/film.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

constexpr double fine_pitch_mm = 0.5e-3;

/// A lens without glare before a small sensor.
Camera clean_camera(const glm::ivec2& pixels, double pitch_mm, int blades) {
    Camera camera;
    camera.pixels = pixels;
    camera.sensor_mm = pitch_mm * Vec2(pixels);
    camera.lens.blades = blades;
    camera.lens.glare_share = 0.0;
    return camera;
}

/// A point of unit light in the middle, as the lens spreads it.
Image point_spread(const Camera& camera, double f_number) {
    Image film(camera.pixels.x, camera.pixels.y);
    film.at(film.width / 2, film.height / 2) = glm::vec3(1.0f);
    return PointSpread(camera, f_number)
        .laid_on([](int, Row row) { std::ranges::fill(row, glm::vec3(0.0f)); }, lit_of(film));
}

double linear_at(const Image& film, const Vec2& middle_px, int colour) {
    const Vec2 corner = glm::floor(middle_px);
    const Vec2 part = middle_px - corner;
    const auto at = [&](int dx, int dy) {
        return static_cast<double>(
            film.at(static_cast<int>(corner.x) + dx, static_cast<int>(corner.y) + dy)[colour]);
    };
    return glm::mix(glm::mix(at(0, 0), at(1, 0), part.x), glm::mix(at(0, 1), at(1, 1), part.x),
                    part.y);
}

/// Light by direction at a distance from the middle.
std::vector<double> circle(const Image& film, double radius_px, int colour, int count) {
    std::vector<double> light;
    for (int i = 0; i < count; ++i) {
        const double angle = 2.0 * pi * (i + 0.5) / count;
        light.push_back(linear_at(film,
                                  Vec2(film.width / 2, film.height / 2) +
                                      radius_px * Vec2(std::cos(angle), std::sin(angle)),
                                  colour));
    }
    return light;
}

double circle_mean(const Image& film, double radius_px, int colour) {
    const auto light = circle(film, radius_px, colour, 90);
    double sum = 0.0;
    for (const double each : light) sum += each;
    return sum / static_cast<double>(light.size());
}

/// Radius of the darkest circle between two.
double darkest_px(const Image& film, double from_px, double to_px, int colour) {
    double radius_px = from_px;
    double least = circle_mean(film, from_px, colour);
    for (double r = from_px; r <= to_px; r += 0.02)
        if (const double light = circle_mean(film, r, colour); light < least) {
            least = light;
            radius_px = r;
        }
    return radius_px;
}

/// Share of the light within a circle, by parts of pixels.
double light_within(const Image& film, double radius_px, int colour) {
    constexpr int parts = 8;
    double sum = 0.0;
    for (int y = 0; y < film.height; ++y)
        for (int x = 0; x < film.width; ++x) {
            int within = 0;
            for (int i = 0; i < parts * parts; ++i) {
                const Vec2 at((i % parts + 0.5) / parts - 0.5 + x - film.width / 2,
                              (i / parts + 0.5) / parts - 0.5 + y - film.height / 2);
                if (glm::length(at) <= radius_px) ++within;
            }
            sum += within * static_cast<double>(film.at(x, y)[colour]) / (parts * parts);
        }
    return sum;
}

/// How many rays a star has: how often the light round a circle rises above its mean.
int rays(const Image& film, double radius_px) {
    const auto light = circle(film, radius_px, 1, 1440);
    double mean = 0.0;
    for (const double each : light) mean += each / static_cast<double>(light.size());
    int count = 0;
    for (std::size_t i = 0; i < light.size(); ++i)
        if (light[i] <= mean && light[(i + 1) % light.size()] > mean) ++count;
    return count;
}

}  // namespace

// Diameters 2.44 lambda N of the Airy disc (first zero of J1 at 3.8317; textbook 2.44), published
// for 550 and 650 nm; a pattern grows with its wavelength. Within 2 %.
TEST_CASE("the first dark ring on film is where Airy's is") {
    struct Published {
        double wavelength_mm, f_number, diameter_um;
        int colour;
    };
    for (const Published& row :
         {Published{550e-6, 5.6, 7.513167, 1}, Published{550e-6, 8.0, 10.7331, 1},
          Published{650e-6, 11.0, 17.44128, 0}, Published{550e-6, 16.0, 21.46619, 1},
          Published{550e-6, 16.0, 21.46619, 2}}) {
        const Image film = point_spread(clean_camera({141, 141}, fine_pitch_mm, 0), row.f_number);
        const double ours = band_wavelength_mm[static_cast<std::size_t>(row.colour)];
        const double expected_px =
            0.5e-3 * row.diameter_um * ours / row.wavelength_mm / fine_pitch_mm;
        CHECK_RELATIVE(darkest_px(film, 0.7 * expected_px, 1.3 * expected_px, row.colour),
                       expected_px, 0.02);
    }
}

// 83.8 % and 91.0 % of the light within the first and second dark rings, at 1.2197 and 2.2331
// lambda N (Born & Wolf, Principles of Optics, 8.5.2).
TEST_CASE("light within the dark rings") {
    const Image film = point_spread(clean_camera({161, 161}, fine_pitch_mm, 0), 8.0);
    const double ring_px = band_wavelength_mm[1] * 8.0 / fine_pitch_mm;
    CHECK_WITHIN(light_within(film, 1.2197 * ring_px, 1), 0.838, 0.004);
    CHECK_WITHIN(light_within(film, 2.2331 * ring_px, 1), 0.910, 0.004);
}

// An edge throws light both ways at right angles to itself; opposite sides of an even polygon throw
// it the same ways (common knowledge of photographers, no source).
TEST_CASE("a star has as many rays as an even number of blades, twice as many as an odd one") {
    for (const auto& [blades, count] : {std::pair(5, 10), {6, 6}, {7, 14}, {8, 8}, {9, 18}}) {
        const Image film = point_spread(clean_camera({401, 401}, 6e-3, blades), 22.0);
        CHECK(rays(film, 60.0) == count);
        CHECK(rays(film, 100.0) == count);
    }
}

TEST_CASE("an open lens has no star") {
    Camera camera = clean_camera({401, 401}, 6e-3, 7);
    camera.lens.open_f_number = 4.0;
    const auto light = circle(point_spread(camera, 4.0), 40.0, 1, 360);
    const auto [least, most] = std::ranges::minmax(light);
    CHECK(most < 1.6 * least);
    const auto star = circle(point_spread(camera, 22.0), 40.0, 1, 360);
    CHECK(std::ranges::max(star) > 8.0 * std::ranges::min(star));
}
