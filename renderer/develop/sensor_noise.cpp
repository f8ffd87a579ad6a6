#include "renderer/develop/sensor_noise.h"

#include <algorithm>
#include <cmath>

#include "renderer/develop/deviates.h"

namespace lampflight {
namespace {

constexpr std::size_t chunk = 64;
using Chunk = std::array<float, chunk>;

// One pixel of the picture for each of the sensor's, or nearly so.
constexpr double fewest_joined_across = 2.0;

/// Poisson counts for shares in (0, 1) and their normal deviates.
void count(const Chunk& mean_e, const Chunk& share, const Chunk& normal, Chunk& counts) {
    for (std::size_t i = 0; i < chunk; ++i)
        counts[i] = poisson_from_normal(std::max(mean_e[i], most_exact_mean), normal[i]);
    if (std::ranges::all_of(mean_e, [](float mean) { return mean >= most_exact_mean; })) return;
    Chunk few;
    for (std::size_t i = 0; i < chunk; ++i) few[i] = std::min(mean_e[i], most_exact_mean);
    Chunk exact;
    poisson_quantiles(few, share, exact);
    for (std::size_t i = 0; i < chunk; ++i)
        counts[i] = mean_e[i] < most_exact_mean ? exact[i] : counts[i];
}

// Pixels of a mosaic's row beyond either end of the frame; even, so that colours keep their places.
constexpr std::size_t margin = 4;

const float* mosaic_from(const ColourRow& drawn) {
    return drawn[0].data() + margin;
}

/// A colour that one pixel in 2 x 2 counts, in the corner `site` of them along both ways. Along
/// each way three quarters of the count in the same 2 x 2, one quarter of the next beyond.
void lend_quarter(int y, const SensorNoise::MosaicRows& rows, int site,
                  std::vector<float>& deviates) {
    constexpr int middle = SensorNoise::rows_lent;
    const int own_row = middle + (y % 2 == 0 ? site : site - 1);
    const int next_row = own_row + (y % 2 == 0 ? -2 : 2);
    const float* const own = mosaic_from(*rows[static_cast<std::size_t>(own_row)]) + site;
    const float* const next = mosaic_from(*rows[static_cast<std::size_t>(next_row)]) + site;
    const auto across = [&](std::ptrdiff_t x) { return 0.75f * own[x] + 0.25f * next[x]; };
    const auto width = static_cast<std::ptrdiff_t>(deviates.size());
    for (std::ptrdiff_t x = 0; x < width; x += 2) {
        const float same = 0.75f * across(x);
        deviates[static_cast<std::size_t>(x)] = same + 0.25f * across(x - 2);
        if (x + 1 < width) deviates[static_cast<std::size_t>(x + 1)] = same + 0.25f * across(x + 2);
    }
}

void draw_chunk(const Chunk& mean_e, float read_e2, std::uint32_t key, std::uint32_t first,
                Chunk& deviates) {
    Chunk share;
    Chunk shot;
    Chunk reading;
    Chunk counts;
    const std::uint32_t reading_key = hash_of(key, 0x5bd1e995u);
    for (std::size_t i = 0; i < chunk; ++i) {
        const std::uint32_t place = first + static_cast<std::uint32_t>(i);
        share[i] = hashed_share(place, key);
        shot[i] = normal_quantile(share[i]);
        reading[i] = normal_quantile(hashed_share(place, reading_key));
    }
    count(mean_e, share, shot, counts);
    const float read_e = std::sqrt(read_e2);
    constexpr float least_e2 = 1e-12f;  // no light and no noise: no deviate
    for (std::size_t i = 0; i < chunk; ++i)
        deviates[i] = (counts[i] - mean_e[i] + read_e * reading[i]) /
                      std::sqrt(std::max(mean_e[i] + read_e2, least_e2));
}

}  // namespace

void draw_deviates(std::span<const float> mean_e, float read_e2, std::uint32_t key,
                   std::uint32_t first, std::span<float> deviates) {
    for (std::size_t start = 0; start < mean_e.size(); start += chunk) {
        const std::size_t length = std::min(chunk, mean_e.size() - start);
        Chunk mean{};
        Chunk drawn;
        std::copy_n(mean_e.begin() + static_cast<std::ptrdiff_t>(start), length, mean.begin());
        draw_chunk(mean, read_e2, key, first + static_cast<std::uint32_t>(start), drawn);
        std::copy_n(drawn.begin(), length, deviates.begin() + static_cast<std::ptrdiff_t>(start));
    }
}

std::uint32_t noise_key(int seed, std::string_view take, int go) {
    std::uint32_t key = hash_of(static_cast<std::uint32_t>(seed), 0x9747b28cu);
    for (const char letter : take) key = hash_of(key, static_cast<unsigned char>(letter));
    // Beyond what a letter can be, so that no name is another's with a go.
    if (go != 1) key = hash_of(key, 0x100u + static_cast<std::uint32_t>(go));
    return key;
}

SensorNoise::SensorNoise(const Camera& camera, double shutter_s, std::uint32_t key)
    : from_mosaic_(camera.sensor_pixels_across < fewest_joined_across),
      key_(key),
      electrons_per_lxs_(static_cast<float>(electrons(camera, 1.0))),
      dark_e_(static_cast<float>(dark_electrons(camera, shutter_s))),
      read_e2_(static_cast<float>(camera.sensor.read_noise_e * camera.sensor.read_noise_e)) {
    const auto all = static_cast<float>(camera.sensor_pixels_across * camera.sensor_pixels_across);
    joined_ =
        from_mosaic_ ? std::array{all, all, all} : std::array{0.25f * all, 0.5f * all, 0.25f * all};
}

void SensorNoise::draw(int y, const ColourRow& exposure_lxs, ColourRow& deviates) const {
    if (from_mosaic_) return draw_mosaic(y, exposure_lxs, deviates[0]);
    const std::size_t width = exposure_lxs[0].size();
    std::vector<float> mean_e(width);
    for (std::size_t c = 0; c < 3; ++c) {
        for (std::size_t x = 0; x < width; ++x)
            mean_e[x] =
                joined_[c] * (electrons_per_lxs_ * std::max(exposure_lxs[c][x], 0.0f) + dark_e_);
        const std::uint32_t row_key =
            hash_of(static_cast<std::uint32_t>(y), key_ + 1 + static_cast<std::uint32_t>(c));
        draw_deviates(mean_e, joined_[c] * read_e2_, row_key, 0, deviates[c]);
    }
}

void SensorNoise::draw_mosaic(int y, const ColourRow& exposure_lxs,
                              std::vector<float>& deviates) const {
    const std::size_t width = exposure_lxs[0].size();
    const bool red_row = y % 2 == 0;
    const std::vector<float>& even = exposure_lxs[red_row ? 0 : 1];
    const std::vector<float>& odd = exposure_lxs[red_row ? 1 : 2];
    const float joined = joined_[0];
    const auto mean_e = [&](float lxs) {
        return joined * (electrons_per_lxs_ * std::max(lxs, 0.0f) + dark_e_);
    };
    std::vector<float> means(width + 2 * margin);
    for (std::size_t i = 0; i < means.size(); ++i) {
        const std::size_t x = std::clamp(i, margin, margin + width - 1) - margin;
        means[i] = mean_e(i % 2 == 0 ? even[x] : odd[x]);
    }
    deviates.resize(means.size());
    draw_deviates(means, joined * read_e2_, hash_of(static_cast<std::uint32_t>(y), key_), 0,
                  deviates);
}

void SensorNoise::lend(int y, const MosaicRows& rows, ColourRow& deviates) const {
    lend_quarter(y, rows, 0, deviates[0]);
    lend_green(y, rows, deviates[1]);
    lend_quarter(y, rows, 1, deviates[2]);
}

void SensorNoise::lend_green(int y, const MosaicRows& rows, std::vector<float>& deviates) const {
    // Its own count and four across the corners, or four beside of which one, in the same 2 x 2
    // pixels, weighs most; which one, goes by chance, and the other pixel takes the other green.
    constexpr float own = 0.768f;
    constexpr float corner = 0.25f * (1.0f - own);
    constexpr float most = 0.765f;
    constexpr float beside = (1.0f - most) / 3.0f;
    const bool red_row = y % 2 == 0;
    const float* const up = mosaic_from(*rows[rows_lent - 1]);
    const float* const here = mosaic_from(*rows[rows_lent]);
    const float* const down = mosaic_from(*rows[rows_lent + 1]);
    const float* const partner = red_row ? down : up;
    const std::ptrdiff_t towards_partner = red_row ? 1 : -1;
    const std::ptrdiff_t green_at = red_row ? 1 : 0;
    const std::uint32_t key = hash_of(static_cast<std::uint32_t>(y >> 1), ~key_);
    for (std::size_t i = 0; i < deviates.size(); ++i) {
        const auto x = static_cast<std::ptrdiff_t>(i);
        if (x % 2 == green_at) {
            deviates[i] =
                own * here[x] + corner * (up[x - 1] + up[x + 1] + down[x - 1] + down[x + 1]);
            continue;
        }
        const bool across = (hash_of(static_cast<std::uint32_t>(i >> 1), key) & 0x8000u) != 0;
        const float chosen = across ? here[x + towards_partner] : partner[x];
        deviates[i] =
            (most - beside) * chosen + beside * (here[x - 1] + here[x + 1] + up[x] + down[x]);
    }
}

void SensorNoise::lay_on(const ColourRow& deviates, ColourRow& exposure_lxs) const {
    for (std::size_t c = 0; c < 3; ++c) {
        const auto noisy_lxs = [&](float lxs, float deviate) {
            const float mean_e2 = electrons_per_lxs_ * std::max(lxs, 0.0f) + dark_e_ + read_e2_;
            return lxs + deviate * std::sqrt(mean_e2 / joined_[c]) / electrons_per_lxs_;
        };
        for (std::size_t x = 0; x < exposure_lxs[c].size(); ++x)
            exposure_lxs[c][x] = noisy_lxs(exposure_lxs[c][x], deviates[c][x]);
    }
}

}  // namespace lampflight
