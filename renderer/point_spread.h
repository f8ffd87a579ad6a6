// The lens's point spread: diffraction by the iris and veiling glare, laid on film in linear light.
#pragma once

#include <map>

#include "renderer/blur.h"
#include "renderer/diffraction.h"
#include "renderer/glare.h"

namespace lampflight {

/// Of a camera's lens at an f-number. Light is kept but for what leaves the frame; the cost hardly
/// depends on how far it goes.
class PointSpread {
public:
    PointSpread(const Camera& camera, double f_number);

    /// A film as the lens spreads it. `film` reads focal-plane lux seconds as the lens's geometry
    /// draws them, for the camera's pixels.
    Image laid_on(const ReadRow& film) const;

    /// Share of a pixel's own light that stays in it, a colour at a time.
    glm::vec3 kept_share() const;

    /// Share that lands within some pixels of where it belongs.
    glm::vec3 near_share() const { return kernels_.near.sum(); }

private:
    glm::ivec2 size_;
    std::vector<Halo> glare_;
    DiffractionKernels kernels_;  ///< with the narrow glare in them
};

/// Those of a camera's lens, each worked out when first asked for.
class PointSpreads {
public:
    /// Refers to the camera.
    explicit PointSpreads(const Camera& camera) : camera_(camera) {}

    const PointSpread& at(double f_number) {
        return known_.try_emplace(f_number, camera_, f_number).first->second;
    }

private:
    const Camera& camera_;
    std::map<double, PointSpread> known_;
};

}  // namespace lampflight
