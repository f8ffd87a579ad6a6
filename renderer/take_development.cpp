#include "renderer/take_development.h"

#include <tbb/parallel_for.h>

#include <algorithm>
#include <vector>

namespace lampflight {
namespace {

// Of a mosaic four rows more are read for every strip.
constexpr int strip_rows = 64;

constexpr int rows_held = 2 * SensorNoise::rows_lent + 1;

std::size_t ring_place(int y) {
    return static_cast<std::size_t>((y + rows_held) % rows_held);
}

}  // namespace

TakeDevelopment::TakeDevelopment(const Shoot& shoot, const PointSpread& spread,
                                 const ExposedTake& take, Noise noise)
    : film_(spread, take), sensor_(shoot.camera, take.settings) {
    if (noise == Noise::counted)
        noise_.emplace(shoot.camera, take.settings.shutter_s,
                       noise_key(shoot.photograph.noise_seed, take.name));
}

void TakeDevelopment::develop(const Keep& keep) const {
    const int strips = (film_.height() + strip_rows - 1) / strip_rows;
    tbb::parallel_for(0, strips, [&](int strip) {
        const int first = strip * strip_rows;
        develop_strip(first, std::min(first + strip_rows, film_.height()), keep);
    });
}

TakeDevelopment::Stretch TakeDevelopment::empty_stretch() const {
    const auto width = static_cast<std::size_t>(film_.width());
    return {std::vector<glm::vec3>(width), colour_row(width), colour_row(width)};
}

void TakeDevelopment::load(int y, Stretch& stretch) const {
    film_.read(std::clamp(y, 0, film_.height() - 1), stretch.film_lxs);
    sensor_.see(stretch.film_lxs, stretch.exposure_lxs);
    if (noise_) noise_->draw(y, stretch.exposure_lxs, stretch.drawn);
}

void TakeDevelopment::develop_strip(int first, int end, const Keep& keep) const {
    const bool mosaic = noise_ && noise_->from_mosaic();
    const int ahead = mosaic ? SensorNoise::rows_lent : 0;
    std::vector<Stretch> ring(mosaic ? rows_held : 1, empty_stretch());
    const auto held = [&](int y) -> Stretch& { return ring[mosaic ? ring_place(y) : 0]; };
    ColourRow lent = colour_row(static_cast<std::size_t>(film_.width()));
    std::vector<glm::vec3> row(static_cast<std::size_t>(film_.width()));
    for (int y = first - ahead; y < first + ahead; ++y) load(y, held(y));
    for (int y = first; y < end; ++y) {
        load(y + ahead, held(y + ahead));
        Stretch& own = held(y);
        if (mosaic) {
            SensorNoise::MosaicRows rows;
            for (int i = 0; i < rows_held; ++i)
                rows[static_cast<std::size_t>(i)] = &held(y + i - SensorNoise::rows_lent).drawn;
            noise_->lend(y, rows, lent);
        }
        develop_row(y, own, !noise_ ? nullptr : mosaic ? &lent : &own.drawn, row);
        keep(y, row);
    }
}

void TakeDevelopment::develop_row(int y, Stretch& stretch, const ColourRow* deviates,
                                  Row row) const {
    if (deviates != nullptr) noise_->lay_on(*deviates, stretch.exposure_lxs);
    sensor_.develop(stretch.exposure_lxs, row);
    for (const TrailPixel& trail : film_.trails(y)) {
        const auto x = static_cast<std::size_t>(trail.x);
        row[x] = mean_of_parts(trail, stretch.film_lxs[x], deviates);
    }
}

glm::vec3 TakeDevelopment::mean_of_parts(const TrailPixel& trail, const glm::vec3& film_lxs,
                                         const ColourRow* deviates) const {
    // What the lens spreads is smooth; only the rest has parts.
    const glm::vec3 kept = film_.kept_share();
    const glm::vec3 others_lxs = film_lxs - kept * trail.mean_lxs;
    glm::vec3 sum(0.0f);
    for (const glm::vec3& part : trail.parts) {
        glm::vec3 counted_lxs = sensor_.seen(others_lxs + kept * part);
        if (deviates != nullptr)
            for (std::size_t c = 0; c < 3; ++c) {
                float& lxs = counted_lxs[static_cast<int>(c)];
                lxs = noise_->noisy_lxs(c, lxs, (*deviates)[c][static_cast<std::size_t>(trail.x)]);
            }
        sum += sensor_.develop(counted_lxs);
    }
    return sum / static_cast<float>(trail.parts.size());
}

}  // namespace lampflight
