#include "renderer/develop/take_development.h"

#include <algorithm>
#include <numeric>
#include <utility>
#include <vector>

namespace lampflight {
namespace {

constexpr int rows_held = 2 * SensorNoise::rows_lent + 1;

std::size_t ring_place(int y) {
    return static_cast<std::size_t>((y + rows_held) % rows_held);
}

void fit(ColourRow& row, std::size_t width) {
    for (std::vector<float>& colour : row) colour.resize(width);
}

void fit(Image& image, int width, int height) {
    if (image.width != width || image.height < height) image = Image(width, height);
}

}  // namespace

TakeDevelopment::TakeDevelopment(const Shoot& shoot, const PointSpread& spread,
                                 const ExposedTake& take, const FilmRows& film, Image half,
                                 Noise noise)
    : film_(spread, film, std::move(half)), sensor_(shoot.camera, take.settings) {
    if (noise == Noise::counted)
        noise_.emplace(shoot.camera, take.settings.shutter_s,
                       noise_key(shoot.photograph.noise_seed, take.name, shoot.go));
}

void TakeDevelopment::load(int y, ConstRow film_lxs, Stretch& stretch) const {
    sensor_.see(film_lxs, stretch.exposure_lxs);
    if (noise_) noise_->draw(y, stretch.exposure_lxs, stretch.drawn);
}

void TakeDevelopment::develop(int first, int end, Image& picture, Room& room) const {
    const bool mosaic = noise_ && noise_->from_mosaic();
    const int ahead = mosaic ? SensorNoise::rows_lent : 0;
    const auto on_film = [&](int y) { return std::clamp(y, 0, film_.height() - 1); };
    const int top = on_film(first - ahead);
    const int below = on_film(end + ahead - 1) + 1;
    fit(room.film_lxs, film_.width(), below - top);
    film_.read(top, below, room.film_lxs, room.spread);
    const auto film_row = [&](int y) { return ConstRow(room.film_lxs.row(on_film(y) - top)); };

    const auto width = static_cast<std::size_t>(film_.width());
    room.rows.resize(mosaic ? rows_held : 1);
    for (Stretch& stretch : room.rows) {
        fit(stretch.exposure_lxs, width);
        fit(stretch.drawn, width);
    }
    fit(room.lent, width);
    const auto held = [&](int y) -> Stretch& { return room.rows[mosaic ? ring_place(y) : 0]; };
    for (int y = first - ahead; y < first + ahead; ++y) load(y, film_row(y), held(y));
    for (int y = first; y < end; ++y) {
        load(y + ahead, film_row(y + ahead), held(y + ahead));
        Stretch& own = held(y);
        if (mosaic) {
            SensorNoise::MosaicRows rows;
            for (int i = 0; i < rows_held; ++i)
                rows[static_cast<std::size_t>(i)] = &held(y + i - SensorNoise::rows_lent).drawn;
            noise_->lend(y, rows, room.lent);
        }
        const ColourRow* const deviates = !noise_ ? nullptr : mosaic ? &room.lent : &own.drawn;
        if (deviates != nullptr) noise_->lay_on(*deviates, own.exposure_lxs);
        sensor_.develop(own.exposure_lxs, picture.row(y - first));
        develop_trails(y, film_row(y), deviates, room.parts, picture.row(y - first));
    }
}

void TakeDevelopment::develop_trails(int y, ConstRow film_lxs, const ColourRow* deviates,
                                     Parts& parts, Row row) const {
    const std::span<const TrailPixel> trails = film_.trails(y);
    if (trails.empty()) return;
    // What the lens spreads is smooth; only the rest has parts.
    const glm::vec3 kept = film_.kept_share();
    parts.lxs.clear();
    for (const TrailPixel& trail : trails) {
        const glm::vec3 others_lxs =
            film_lxs[static_cast<std::size_t>(trail.x)] - kept * trail.mean_lxs;
        for (const glm::vec3& part : trail.parts) parts.lxs.push_back(others_lxs + kept * part);
    }
    fit(parts.exposure_lxs, parts.lxs.size());
    sensor_.see(parts.lxs, parts.exposure_lxs);
    if (deviates != nullptr) {
        fit(parts.deviates, parts.lxs.size());
        for (std::size_t c = 0; c < 3; ++c) {
            auto to = parts.deviates[c].begin();
            for (const TrailPixel& trail : trails)
                to = std::fill_n(to, trail.parts.size(),
                                 (*deviates)[c][static_cast<std::size_t>(trail.x)]);
        }
        noise_->lay_on(parts.deviates, parts.exposure_lxs);
    }
    sensor_.develop(parts.exposure_lxs, parts.lxs);
    auto part = parts.lxs.begin();
    for (const TrailPixel& trail : trails) {
        const auto end = part + static_cast<std::ptrdiff_t>(trail.parts.size());
        const glm::vec3 sum = std::accumulate(part, end, glm::vec3(0.0f));
        row[static_cast<std::size_t>(trail.x)] = sum / static_cast<float>(trail.parts.size());
        part = end;
    }
}

}  // namespace lampflight
