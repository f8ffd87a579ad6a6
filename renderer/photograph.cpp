// Takes become one picture.
#include <tbb/parallel_for.h>

#include <algorithm>

#include "renderer/film_rows.h"
#include "renderer/render.h"
#include "renderer/take_development.h"

namespace lampflight {
namespace {

void blend_row(Blend blend, Row picture, ConstRow take, float share) {
    switch (blend) {
        case Blend::lighten:
            for (std::size_t x = 0; x < picture.size(); ++x)
                picture[x] = glm::max(picture[x], take[x]);
            return;
        case Blend::add:
            return add_scaled(picture, take, 1.0f);
        case Blend::mean:
            return add_scaled(picture, take, share);
    }
}

/// The first take is where the picture begins: what it has below none is not lost to a start at 0.
void begin_row(Blend blend, Row picture, ConstRow take, float share) {
    std::ranges::copy(take, picture.begin());
    if (blend == Blend::mean)
        for (glm::vec3& pixel : picture) pixel *= share;
}

}  // namespace

Image film_lxs(const Camera& camera, const ExposedTake& take) {
    const PointSpread spread(camera, take.settings.f_number);
    const SpreadFilm film(spread, take);
    Image picture(film.width(), film.height());
    tbb::parallel_for(0, picture.height, [&](int y) { film.read(y, picture.row(y)); });
    return picture;
}

Image photograph(const Shoot& shoot, const std::vector<ExposedTake>& takes, Noise noise) {
    const float share = 1.0f / static_cast<float>(std::max<std::size_t>(1, takes.size()));
    const Blend blend = shoot.photograph.blend;
    Image picture(shoot.camera.pixels.x, shoot.camera.pixels.y);
    PointSpreads spreads(shoot.camera);
    for (const ExposedTake& take : takes) {
        const bool is_first = &take == &takes.front();
        TakeDevelopment(shoot, spreads.at(take.settings.f_number), take, noise)
            .develop([&](int y, ConstRow row) {
                (is_first ? begin_row : blend_row)(blend, picture.row(y), row, share);
            });
    }
    return picture;
}

}  // namespace lampflight
