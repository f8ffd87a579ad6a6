#include "renderer/take_development.h"

#include <algorithm>
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
                                 const TakeFilm& take, Image half, Noise noise)
    : film_(spread, take.rows, std::move(half)), sensor_(shoot.camera, take.settings) {
    if (noise == Noise::counted)
        noise_.emplace(shoot.camera, take.settings.shutter_s,
                       noise_key(shoot.photograph.noise_seed, take.name));
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
        develop_row(y, film_row(y), own,
                    !noise_  ? nullptr
                    : mosaic ? &room.lent
                             : &own.drawn,
                    picture.row(y - first));
    }
}

void TakeDevelopment::develop_row(int y, ConstRow film_lxs, Stretch& stretch,
                                  const ColourRow* deviates, Row row) const {
    if (deviates != nullptr) noise_->lay_on(*deviates, stretch.exposure_lxs);
    sensor_.develop(stretch.exposure_lxs, row);
    for (const TrailPixel& trail : film_.trails(y)) {
        const auto x = static_cast<std::size_t>(trail.x);
        row[x] = mean_of_parts(trail, film_lxs[x], deviates);
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
