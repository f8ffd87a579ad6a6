// Takes become one picture: exposure relative to mid-grey, white balance, blend.
#include <algorithm>

#include "renderer/glow.h"
#include "renderer/render.h"
#include "renderer/tone.h"
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

/// One take relative to mid-grey, white-balanced.
Image balanced_take(const ExposedTake& take, const glm::mat3& balance) {
    const auto per_lxs = static_cast<float>(1.0 / mid_grey_lxs(take.settings.iso));
    const auto balanced = [&](const glm::vec3& lxs) {
        return glm::max(balance * (per_lxs * lxs), glm::vec3(0.0f));
    };
    const Image film = film_lxs(take);
    Image picture(film.width, film.height);
    for (std::size_t i = 0; i < film.pixels.size(); ++i)
        picture.pixels[i] = balanced(film.pixels[i]);

    const int parts_count = take.trails.side() * take.trails.side();
    const float share = 1.0f / static_cast<float>(parts_count);
    constexpr auto saturation = static_cast<float>(saturation_over_mid_grey);
    constexpr float kept = 1.0f - glow_share;  // the glow is smooth; only the rest has parts
    take.trails.for_each_pixel([&](int x, int y, const glm::vec3* parts) {
        glm::vec3 mean_lxs(0.0f);
        for (int i = 0; i < parts_count; ++i) mean_lxs += share * parts[i];
        const glm::vec3 others_lxs = film.at(x, y) - kept * mean_lxs;
        glm::vec3 sum(0.0f);
        for (int i = 0; i < parts_count; ++i)
            sum += glm::min(balanced(others_lxs + kept * parts[i]), glm::vec3(saturation));
        picture.at(x, y) = share * sum;
    });
    return picture;
}

}  // namespace

Image photograph(const Shoot& shoot, const std::vector<ExposedTake>& takes) {
    const glm::mat3 balance(white_balance_matrix(shoot.camera.white_balance_k));
    const float share = 1.0f / static_cast<float>(std::max<std::size_t>(1, takes.size()));
    Image picture(shoot.camera.pixels.x, shoot.camera.pixels.y);
    for (const ExposedTake& take : takes) {
        const Image more = balanced_take(take, balance);
        for (std::size_t i = 0; i < picture.pixels.size(); ++i)
            picture.pixels[i] =
                blended(shoot.photograph.blend, picture.pixels[i], more.pixels[i], share);
    }
    return picture;
}

}  // namespace lampflight
