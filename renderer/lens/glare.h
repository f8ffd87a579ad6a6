// Veiling glare: light that the lens's glass and barrel scatter over the whole frame.
#pragma once

#include <vector>

#include "renderer/film/image.h"
#include "renderer/lens/diffraction.h"

namespace lampflight {

/// One Gaussian of a sum.
struct Halo {
    double sigma_px;
    float share;
};

/// A tail that falls off as distance to the power of minus `falloff`, from a thousandth to a
/// quarter of the frame's height, as a sum of Gaussians each twice as wide as the one before. Their
/// shares add up to `share`.
std::vector<Halo> glare_halos(double share, double falloff, int frame_height_px);

/// Adds the narrow halos of a picture of `size` to kernels that are laid on it anyway, for its own
/// pixels and for pixels of twice their side.
void add_narrow_halos(const std::vector<Halo>& halos, const glm::ivec2& size, SpreadKernel& whole,
                      SpreadKernel& half);

/// Adds the blurs of all others, given the picture at a quarter of `size`. They run at sizes halved
/// as often as keeps them smooth.
void add_wide_halos(const std::vector<Halo>& halos, const glm::ivec2& size, const Image& quarter,
                    Image& sum);

}  // namespace lampflight
