#include "renderer/point_spread.h"

#include <algorithm>

#include "renderer/convolve.h"
#include "renderer/diffraction.h"
#include "renderer/glare.h"

namespace lampflight {
namespace {

/// Diffraction of what the glass does not scatter; narrow glare with it.
DiffractionKernels kernels_of(const Camera& camera, double f_number,
                              const std::vector<Halo>& glare) {
    DiffractionKernels kernels = diffraction_kernels(camera, f_number);
    const auto straight = static_cast<float>(1.0 - camera.lens.glare_share);
    for (SpreadKernel* kernel : {&kernels.near, &kernels.mid, &kernels.far})
        for (auto& taps : kernel->taps)
            for (float& tap : taps) tap *= straight;
    add_narrow_halos(glare, camera.pixels, kernels.near, kernels.mid);
    return kernels;
}

}  // namespace

PointSpread::PointSpread(const Camera& camera, double f_number, const ReadRow& film)
    : film_lxs_(camera.pixels.x, camera.pixels.y) {
    const glm::ivec2 size = camera.pixels;
    const std::vector<Halo> glare =
        glare_halos(camera.lens.glare_share, camera.lens.glare_falloff, size.y);
    const DiffractionKernels kernels = kernels_of(camera, f_number, glare);
    for (int colour = 0; colour < 3; ++colour)
        kept_share_[colour] = kernels.near.at(static_cast<std::size_t>(colour), 0, 0);
    near_share_ = kernels.near.sum();

    const Image half = halved(size.x, size.y, film);
    Image half_sum(half.width, half.height);
    {
        const Image quarter = halved(half);
        Image quarter_sum = convolved(quarter, kernels.far);
        add_wide_halos(glare, size, quarter, quarter_sum);
        add_doubled(quarter_sum, half_sum);
    }
    add_convolved([&](int y, Row row) { std::ranges::copy(half.row(y), row.begin()); }, kernels.mid,
                  half_sum);
    add_doubled(half_sum, film_lxs_);
    add_convolved(film, kernels.near, film_lxs_);
}

}  // namespace lampflight
