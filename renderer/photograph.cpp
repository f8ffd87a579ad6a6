// Takes become one picture: exposure relative to mid-grey, white balance, blend.
#include <algorithm>

#include "renderer/render.h"
#include "scene/colour.h"

namespace lampflight {
namespace {

glm::vec3 blended(Blend blend, const glm::vec3& picture, const glm::vec3& take, float share) {
    switch (blend) {
        case Blend::lighten: return glm::max(picture, take);
        case Blend::add: return picture + take;
        case Blend::mean: break;
    }
    return picture + share * take;
}

}  // namespace

Image photograph(const Shoot& shoot, const std::vector<ExposedTake>& takes) {
    const glm::mat3 balance(white_balance_matrix(shoot.camera.white_balance_k));
    const float share = 1.0f / static_cast<float>(std::max<std::size_t>(1, takes.size()));
    Image picture(shoot.camera.pixels.x, shoot.camera.pixels.y);
    for (const ExposedTake& take : takes) {
        const Image film = film_lxs(take);
        const auto per_lxs = static_cast<float>(1.0 / mid_grey_lxs(take.settings.iso));
        for (std::size_t i = 0; i < film.pixels.size(); ++i) {
            const glm::vec3 balanced =
                glm::max(balance * (per_lxs * film.pixels[i]), glm::vec3(0.0f));
            picture.pixels[i] =
                blended(shoot.photograph.blend, picture.pixels[i], balanced, share);
        }
    }
    return picture;
}

}  // namespace lampflight
