#include "renderer/tone.h"

#include <algorithm>
#include <cmath>

#include "renderer/low_discrepancy.h"

namespace lampflight {
namespace {

// The straight part ends 1.3 stops above mid-grey; the shoulder is a power that leaves it with the
// same slope and arrives level at saturation.
constexpr double straight_to = 2.5;

/// sRGB code 118 of 255, which ISO 12232 gives to mid-grey, in linear light.
double mid_grey_linear() {
    static const double value = srgb_decode(118.0 / 255.0);
    return value;
}

}  // namespace

double srgb_encode(double linear) {
    return linear <= 0.0031308 ? 12.92 * linear : 1.055 * std::pow(linear, 1.0 / 2.4) - 0.055;
}

double srgb_decode(double encoded) {
    return encoded <= 0.04045 ? encoded / 12.92 : std::pow((encoded + 0.055) / 1.055, 2.4);
}

double tone(double over_mid_grey) {
    const double grey = mid_grey_linear();
    if (!(over_mid_grey > 0.0)) return 0.0;
    if (over_mid_grey <= straight_to) return grey * over_mid_grey;
    if (over_mid_grey >= saturation_over_mid_grey) return 1.0;
    const double start = grey * straight_to;
    const double room = saturation_over_mid_grey - straight_to;
    const double power = grey * room / (1.0 - start);
    const double left = (saturation_over_mid_grey - over_mid_grey) / room;
    return 1.0 - (1.0 - start) * std::pow(left, power);
}

std::vector<std::uint8_t> develop_srgb8(const Image& over_mid_grey) {
    std::vector<std::uint8_t> bytes(over_mid_grey.pixels.size() * 3);
    for (std::size_t i = 0; i < over_mid_grey.pixels.size(); ++i) {
        const auto x = static_cast<std::uint32_t>(i % static_cast<std::size_t>(over_mid_grey.width));
        const auto y = static_cast<std::uint32_t>(i / static_cast<std::size_t>(over_mid_grey.width));
        // Mean zero over the pixels, plus or minus half a code.
        const double dither = static_cast<double>(hashed_place(x, y)) - 0.5;
        for (int c = 0; c < 3; ++c) {
            const double code =
                255.0 * srgb_encode(tone(static_cast<double>(over_mid_grey.pixels[i][c])));
            // Pure black and pure white stay so.
            const double moved = code <= 0.0 || code >= 255.0 ? code : code + dither;
            bytes[3 * i + static_cast<std::size_t>(c)] =
                static_cast<std::uint8_t>(std::clamp(std::lround(moved), 0l, 255l));
        }
    }
    return bytes;
}

}  // namespace lampflight
