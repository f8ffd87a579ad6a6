#include "renderer/develop/sensor_response.h"

#include <algorithm>

#include "renderer/develop/tone.h"
#include "scene/basics/colour.h"
#include "scene/camera/sensor.h"

namespace lampflight {
namespace {

constexpr auto white = static_cast<float>(saturation_over_mid_grey);

// White is passed by a hair, so that rounding can't keep a full pixel from it.
constexpr float beyond_white = 1.00001f * white;

/// 0 in the lower half of the unit interval, to 1 at its end; level at both ends.
float upper_half(float share) {
    const float t = std::min(std::max(2.0f * share - 1.0f, 0.0f), 1.0f);
    return t * t * (3.0f - 2.0f * t);
}

}  // namespace

SensorResponse::SensorResponse(const Camera& camera, const ExposureSettings& settings)
    : from_rgb_(sensor_from_rgb()), to_rgb_(rgb_from_sensor()) {
    clipping_lxs_ = static_cast<float>(clipping_lxs(camera, settings.iso));
    gains_ = glm::vec3(white_balance_gains({camera.white_balance_k, camera.white_balance_duv}) /
                       mid_grey_lxs(settings.iso));
    common_end_ = std::min({gains_.x, gains_.y, gains_.z}) * clipping_lxs_;
    over_common_end_ = 1.0f / common_end_;
    drawn_up_share_ = beyond_white / common_end_ - 1.0f;
}

void SensorResponse::see(ConstRow film_lxs, ColourRow& exposure_lxs) const {
    const float* const from = floats_of(film_lxs);
    for (std::size_t c = 0; c < 3; ++c) {
        const auto row = static_cast<int>(c);
        const float red = from_rgb_[0][row];
        const float green = from_rgb_[1][row];
        const float blue = from_rgb_[2][row];
        float* const to = exposure_lxs[c].data();
        for (std::size_t x = 0; x < film_lxs.size(); ++x)
            to[x] = red * from[3 * x] + green * from[3 * x + 1] + blue * from[3 * x + 2];
    }
}

inline glm::vec3 SensorResponse::developed(float red_lxs, float green_lxs, float blue_lxs) const {
    // One of the sensor's colours at a time and no branch: what compilers make wide.
    const auto balanced = [&](float lxs, float gain) {
        return std::min(gain * std::min(lxs, clipping_lxs_), common_end_);
    };
    const float red = balanced(red_lxs, gains_.x);
    const float green = balanced(green_lxs, gains_.y);
    const float blue = balanced(blue_lxs, gains_.z);
    const auto drawn_up = [&](int c) {
        const float plain = to_rgb_[0][c] * red + to_rgb_[1][c] * green + to_rgb_[2][c] * blue;
        return std::min(plain * (1.0f + drawn_up_share_ * upper_half(plain * over_common_end_)),
                        white);
    };
    return {drawn_up(0), drawn_up(1), drawn_up(2)};
}

glm::vec3 SensorResponse::develop(const glm::vec3& exposure_lxs) const {
    return developed(exposure_lxs.x, exposure_lxs.y, exposure_lxs.z);
}

void SensorResponse::develop(const ColourRow& exposure_lxs, Row row) const {
    const float* const red_lxs = exposure_lxs[0].data();
    const float* const green_lxs = exposure_lxs[1].data();
    const float* const blue_lxs = exposure_lxs[2].data();
    float* const to = floats_of(row);
    for (std::size_t x = 0; x < row.size(); ++x) {
        const glm::vec3 pixel = developed(red_lxs[x], green_lxs[x], blue_lxs[x]);
        to[3 * x] = pixel.x;
        to[3 * x + 1] = pixel.y;
        to[3 * x + 2] = pixel.z;
    }
}

}  // namespace lampflight
