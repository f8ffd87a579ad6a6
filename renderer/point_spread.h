// The lens's point spread: diffraction by the iris and veiling glare, laid on film in linear light.
#pragma once

#include "renderer/blur.h"
#include "scene/camera.h"

namespace lampflight {

/// A film as the lens spreads it. Light is kept but for what leaves the frame; the cost hardly
/// depends on how far it goes.
class PointSpread {
public:
    /// `film` reads focal-plane lux seconds as the lens's geometry draws them, for the camera's
    /// pixels.
    PointSpread(const Camera& camera, double f_number, const ReadRow& film);

    const Image& film_lxs() const { return film_lxs_; }

    /// Share of a pixel's own light that stays in it, a colour at a time.
    glm::vec3 kept_share() const { return kept_share_; }

    /// Share that lands within some pixels of where it belongs.
    glm::vec3 near_share() const { return near_share_; }

private:
    Image film_lxs_;
    glm::vec3 kept_share_{1.0f};
    glm::vec3 near_share_{1.0f};
};

}  // namespace lampflight
