// Takes become one picture: exposure relative to mid-grey, white balance, blend. A take is
// developed row by row, so that nothing but the picture is as large as the frame.
#include <tbb/parallel_for.h>

#include <algorithm>

#include "renderer/film_rows.h"
#include "renderer/render.h"
#include "renderer/tone.h"
#include "scene/colour.h"

namespace lampflight {
namespace {

/// From lux seconds to light relative to mid-grey, white-balanced.
class Balance {
public:
    Balance(double white_balance_k, double iso)
        : matrix_(white_balance_matrix(white_balance_k) / mid_grey_lxs(iso)) {}

    glm::vec3 operator()(const glm::vec3& lxs) const {
        return glm::max(matrix_ * lxs, glm::vec3(0.0f));
    }

private:
    glm::mat3 matrix_;
};

/// A trail's pixel: each part clips at saturation by itself.
glm::vec3 clipped_mean(const TrailPixel& trail, const glm::vec3& film_lxs, const glm::vec3& kept,
                       const Balance& balance) {
    constexpr auto saturation = static_cast<float>(saturation_over_mid_grey);
    // What the lens spreads is smooth; only the rest has parts.
    const glm::vec3 others_lxs = film_lxs - kept * trail.mean_lxs;
    glm::vec3 sum(0.0f);
    for (const glm::vec3& part : trail.parts)
        sum += glm::min(balance(others_lxs + kept * part), glm::vec3(saturation));
    return sum / static_cast<float>(trail.parts.size());
}

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

}  // namespace

Image film_lxs(const Camera& camera, const ExposedTake& take) {
    const SpreadFilm film(camera, take);
    Image picture(film.width(), film.height());
    tbb::parallel_for(0, picture.height, [&](int y) { film.read(y, picture.row(y)); });
    return picture;
}

Image photograph(const Shoot& shoot, const std::vector<ExposedTake>& takes) {
    const float share = 1.0f / static_cast<float>(std::max<std::size_t>(1, takes.size()));
    Image picture(shoot.camera.pixels.x, shoot.camera.pixels.y);
    for (const ExposedTake& take : takes) {
        const SpreadFilm film(shoot.camera, take);
        const Balance balance(shoot.camera.white_balance_k, take.settings.iso);
        tbb::parallel_for(0, picture.height, [&](int y) {
            std::vector<glm::vec3> film_row(static_cast<std::size_t>(picture.width));
            film.read(y, film_row);
            std::vector<glm::vec3> row(film_row.size());
            std::ranges::transform(film_row, row.begin(), balance);
            for (const TrailPixel& trail : film.trails(y)) {
                const auto x = static_cast<std::size_t>(trail.x);
                row[x] = clipped_mean(trail, film_row[x], film.kept_share(), balance);
            }
            blend_row(shoot.photograph.blend, picture.row(y), row, share);
        });
    }
    return picture;
}

}  // namespace lampflight
