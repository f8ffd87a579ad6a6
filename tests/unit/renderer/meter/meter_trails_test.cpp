// How wide a line shows, on pictures whose lines are drawn by formula.
#include "renderer/meter/meter_trails.h"

#include <cmath>

#include "renderer/develop/tone.h"
#include "scene/basics/angle.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

/// The light that the tone curve turns into so much of white; found by halving.
float light_for(double of_white) {
    double low = 0.0;
    double high = saturation_over_mid_grey;
    for (int i = 0; i < 60; ++i) {
        const double middle = 0.5 * (low + high);
        (tone(middle) < of_white ? low : high) = middle;
    }
    return static_cast<float>(high);
}

const Vec2 middle_px{30.5, 24.5};

/// A line through the middle of a picture at an angle; `of_white` gives its look by the distance
/// from its axis.
template <class OfWhite>
Image picture_of_line(double angle_deg, const glm::vec3& colour, OfWhite of_white) {
    Image picture(61, 49);
    const Vec2 normal{-std::sin(radians(angle_deg)), std::cos(radians(angle_deg))};
    for (int y = 0; y < picture.height; ++y)
        for (int x = 0; x < picture.width; ++x)
            picture.at(x, y) =
                colour * light_for(of_white(glm::dot(Vec2(x + 0.5, y + 0.5) - middle_px, normal)));
    return picture;
}

double width_of(const Image& picture) {
    const auto width_px = width_at_half_of_white(picture, middle_px);
    REQUIRE(width_px.has_value());
    return *width_px;
}

}  // namespace

// The full width at half maximum of a Gaussian is 2 sqrt(2 ln 2) standard deviations.
TEST_CASE("width of a soft line, at any angle") {
    for (const double sigma_px : {1.5, 3.0})
        for (const double angle_deg : {0.0, 20.0, 45.0, 77.0, 90.0, 135.0}) {
            CAPTURE(sigma_px);
            CAPTURE(angle_deg);
            const Image picture =
                picture_of_line(angle_deg, glm::vec3(1.0f), [&](double distance_px) {
                    return std::exp(-0.5 * distance_px * distance_px / (sigma_px * sigma_px));
                });
            // Straight lines between pixels cut the curve a little.
            CHECK_RELATIVE(width_of(picture), 2.0 * std::sqrt(2.0 * std::log(2.0)) * sigma_px,
                           0.03);
        }
}

TEST_CASE("width of a sharp line is the number of its pixels") {
    for (const double half_px : {0.5, 2.5, 5.5}) {
        const Image picture = picture_of_line(0.0, glm::vec3(1.0f), [&](double distance_px) {
            return std::abs(distance_px) < half_px + 0.01 ? 1.0 : 0.0;
        });
        CHECK_WITHIN(width_of(picture), 2.0 * half_px, 1e-3);
    }
}

TEST_CASE("the strongest colour sets the width; what isn't half white has none") {
    const auto soft = [](double distance_px) { return std::exp(-0.1 * distance_px * distance_px); };
    const double white = width_of(picture_of_line(30.0, glm::vec3(1.0f), soft));
    CHECK_WITHIN(width_of(picture_of_line(30.0, glm::vec3(1.0f, 0.3f, 0.0f), soft)), white, 1e-9);
    const Image dim = picture_of_line(30.0, glm::vec3(0.3f), soft);
    CHECK(width_at_half_of_white(dim, middle_px) == 0.0);
}

TEST_CASE("no width where all is white, and a width as long as one way ends") {
    Image picture(20, 10);
    std::ranges::fill(picture.pixels, glm::vec3(100.0f));
    CHECK_FALSE(width_at_half_of_white(picture, {4.5, 5.5}).has_value());
    for (int y = 0; y < 10; ++y) picture.at(2, y) = picture.at(13, y) = glm::vec3(0.0f);
    const auto width_px = width_at_half_of_white(picture, {4.5, 5.5});
    REQUIRE(width_px.has_value());
    CHECK_WITHIN(*width_px, 10.0, 1e-3);
}
