#include "renderer/develop/tone.h"

#include <tbb/parallel_for.h>

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>

#include "renderer/sampling/low_discrepancy.h"
#include "scene/camera/exposure.h"

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

/// Codes 0 to `white` before rounding, by linear interpolation over the exposure. The nodes stand
/// in geometric steps, 2^node_bits to each doubling: the top bits of a float number them.
template <int white, int node_bits>
class CodeTable {
public:
    CodeTable() {
        for (std::uint32_t i = 0; i <= last; ++i)
            codes_.push_back(static_cast<float>(white * srgb_encode(tone(node(i)))));
    }

    /// Takes any numbers. Exactly 0 for none or less, `white` from saturation on. Values are chosen
    /// between, not branched, and places are looked up by themselves, so that compilers make the
    /// rest wide.
    void look_up(std::span<const float> over_mid_grey, float* to) const {
        for (; over_mid_grey.size() > chunk; over_mid_grey = over_mid_grey.subspan(chunk)) {
            look_up_few(over_mid_grey.first(chunk), to);
            to += chunk;
        }
        look_up_few(over_mid_grey, to);
    }

private:
    static constexpr std::size_t chunk = 256;

    void look_up_few(std::span<const float> over_mid_grey, float* to) const {
        std::array<std::uint32_t, chunk> places;
        std::array<float, chunk> low;
        std::array<float, chunk> high;
        const std::size_t count = over_mid_grey.size();
        for (std::size_t i = 0; i < count; ++i) {
            const float lifted = over_mid_grey[i] > lowest ? over_mid_grey[i] : lowest;
            const float held = lifted < saturation ? lifted : saturation;
            places[i] = std::bit_cast<std::uint32_t>(held) - first_bits;
        }
        for (std::size_t i = 0; i < count; ++i) {
            const float* const codes = codes_.data() + (places[i] >> step_bits);
            low[i] = codes[0];
            high[i] = codes[1];
        }
        const float slope = codes_[0] / lowest;
        for (std::size_t i = 0; i < count; ++i) {
            const float within = static_cast<float>(places[i] & (step - 1)) * (1.0f / step);
            const float curved = low[i] + within * (high[i] - low[i]);
            // sRGB is straight below its toe, and so is the tone.
            const float value = over_mid_grey[i];
            const float straight = value > 0.0f ? value * slope : 0.0f;
            const float code = value >= lowest ? curved : straight;
            to[i] = value >= saturation ? static_cast<float>(white) : code;
        }
    }

    static constexpr auto saturation = static_cast<float>(saturation_over_mid_grey);
    static constexpr float lowest = 0x1p-7f;  // code 4.7 of 255; the toe ends at 10.3
    static constexpr int step_bits = 23 - node_bits;
    static constexpr std::uint32_t step = 1u << step_bits;

    static double node(std::uint32_t i) {
        return static_cast<double>(std::bit_cast<float>(first_bits + i * step));
    }

    static constexpr std::uint32_t first_bits = std::bit_cast<std::uint32_t>(lowest);
    static constexpr std::uint32_t last =
        (std::bit_cast<std::uint32_t>(saturation) - first_bits) / step + 1;
    std::vector<float> codes_;
};

// Off by 0.03 of a code at most, in the step that ends at saturation; by 0.002 elsewhere.
using CodeTable8 = CodeTable<255, 8>;
// Off by 0.06 of a code at most, in the step that ends at saturation; by 0.01 elsewhere.
using CodeTable16 = CodeTable<65535, 12>;

std::uint8_t rounded(float code, float dither) {
    // Pure black and pure white stay so.
    const float moved = code <= 0.0f || code >= 255.0f ? code : code + dither;
    const float held = std::min(std::max(moved + 0.5f, 0.0f), 255.0f);
    return static_cast<std::uint8_t>(static_cast<int>(held));
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

glm::vec3 swatch_colour(const Rgb& film_lxs, double iso, const WhiteBalance& balance) {
    const Rgb over_mid_grey = white_balance_matrix(balance) * (film_lxs / mid_grey_lxs(iso));
    return {tone(over_mid_grey.r), tone(over_mid_grey.g), tone(over_mid_grey.b)};
}

namespace {

void develop_srgb8_row(ConstRow row, int y, std::uint8_t* to) {
    static const CodeTable8 table;
    constexpr std::size_t chunk = 128;
    std::array<float, 3 * chunk> codes;
    std::array<float, 3 * chunk> dithers;
    for (std::size_t first = 0; first < row.size(); first += chunk) {
        const std::size_t count = std::min(chunk, row.size() - first);
        const float* const from = floats_of(row.subspan(first));
        table.look_up({from, 3 * count}, codes.data());
        for (std::size_t x = 0; x < count; ++x) {
            // Mean zero over the pixels, plus or minus half a code.
            const float dither =
                hashed_place(static_cast<std::uint32_t>(first + x), static_cast<std::uint32_t>(y)) -
                0.5f;
            dithers[3 * x] = dithers[3 * x + 1] = dithers[3 * x + 2] = dither;
        }
        for (std::size_t i = 0; i < 3 * count; ++i) *to++ = rounded(codes[i], dithers[i]);
    }
}

std::uint8_t* row_of(std::span<std::uint8_t> codes, const Image& image, int y) {
    return codes.data() + 3 * static_cast<std::size_t>(image.width) * static_cast<std::size_t>(y);
}

}  // namespace

void develop_srgb8(const Image& rows, int first, std::span<std::uint8_t> codes) {
    for (int y = 0; y < rows.height; ++y)
        develop_srgb8_row(rows.row(y), first + y, row_of(codes, rows, y));
}

std::vector<std::uint8_t> develop_srgb8(const Image& over_mid_grey) {
    std::vector<std::uint8_t> codes(over_mid_grey.pixels.size() * 3);
    tbb::parallel_for(0, over_mid_grey.height, [&](int y) {
        develop_srgb8_row(over_mid_grey.row(y), y, row_of(codes, over_mid_grey, y));
    });
    return codes;
}

std::vector<std::uint16_t> develop_srgb16(const Image& over_mid_grey) {
    static const CodeTable16 table;
    const std::size_t row_codes = 3 * static_cast<std::size_t>(over_mid_grey.width);
    std::vector<std::uint16_t> codes(over_mid_grey.pixels.size() * 3);
    tbb::parallel_for(0, over_mid_grey.height, [&](int y) {
        std::vector<float> row(row_codes);
        table.look_up({floats_of(over_mid_grey.row(y)), row_codes}, row.data());
        std::uint16_t* to = codes.data() + row_codes * static_cast<std::size_t>(y);
        for (std::size_t i = 0; i < row_codes; ++i)
            to[i] = static_cast<std::uint16_t>(row[i] + 0.5f);
    });
    return codes;
}

}  // namespace lampflight
