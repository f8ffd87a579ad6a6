#include "renderer/sensor_noise.h"

#include <algorithm>
#include <cmath>

#include "renderer/deviates.h"

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

ColourRow colour_row(std::size_t width_px) {
    return {std::vector<float>(width_px), std::vector<float>(width_px),
            std::vector<float>(width_px)};
}

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

std::uint32_t noise_key(int seed, std::string_view take) {
    std::uint32_t key = hash_of(static_cast<std::uint32_t>(seed), 0x9747b28cu);
    for (const char letter : take) key = hash_of(key, static_cast<unsigned char>(letter));
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
    std::vector<float> means(width + 2);
    for (std::size_t x = 0; x < width; ++x) means[x + 1] = mean_e(x % 2 == 0 ? even[x] : odd[x]);
    means.front() = mean_e(odd.front());
    means.back() = mean_e(width % 2 == 0 ? even.back() : odd.back());
    deviates.resize(width + 2);
    draw_deviates(means, joined * read_e2_, hash_of(static_cast<std::uint32_t>(y), key_), 0,
                  deviates);
}

void SensorNoise::lend(int y, const ColourRow& above, const ColourRow& own, const ColourRow& below,
                       ColourRow& deviates) {
    const bool red_row = y % 2 == 0;
    const float* const up = above[0].data() + 1;
    const float* const here = own[0].data() + 1;
    const float* const down = below[0].data() + 1;
    float* const row_colour =
        deviates[red_row ? 0 : 2].data();  // that the row counts besides green
    float* const green = deviates[1].data();
    float* const other = deviates[red_row ? 2 : 0].data();
    const std::ptrdiff_t green_at = red_row ? 1 : 0;
    const auto width = static_cast<std::ptrdiff_t>(deviates[0].size());
    for (std::ptrdiff_t x = 0; x < width; ++x) {
        const bool counts_green = x % 2 == green_at;
        const float beside = 0.5f * (here[x - 1] + here[x + 1]);
        const float over = 0.5f * (up[x] + down[x]);
        const float corners = 0.25f * (up[x - 1] + up[x + 1] + down[x - 1] + down[x + 1]);
        row_colour[x] = counts_green ? beside : here[x];
        green[x] = counts_green ? here[x] : 0.5f * (beside + over);
        other[x] = counts_green ? over : corners;
    }
}

float SensorNoise::noisy_lxs(std::size_t colour, float exposure_lxs, float deviate) const {
    const float mean_e2 = electrons_per_lxs_ * std::max(exposure_lxs, 0.0f) + dark_e_ + read_e2_;
    return exposure_lxs + deviate * std::sqrt(mean_e2 / joined_[colour]) / electrons_per_lxs_;
}

void SensorNoise::lay_on(const ColourRow& deviates, ColourRow& exposure_lxs) const {
    for (std::size_t c = 0; c < 3; ++c)
        for (std::size_t x = 0; x < exposure_lxs[c].size(); ++x)
            exposure_lxs[c][x] = noisy_lxs(c, exposure_lxs[c][x], deviates[c][x]);
}

}  // namespace lampflight
