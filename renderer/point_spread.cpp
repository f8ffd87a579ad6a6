#include "renderer/point_spread.h"

#include <algorithm>

#include "renderer/convolve.h"

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

PointSpread::PointSpread(const Camera& camera, double f_number)
    : size_(camera.pixels),
      glare_(glare_halos(camera.lens.glare_share, camera.lens.glare_falloff, size_.y)),
      kernels_(kernels_of(camera, f_number, glare_)) {}

glm::vec3 PointSpread::kept_share() const {
    return {kernels_.near.at(0, 0, 0), kernels_.near.at(1, 0, 0), kernels_.near.at(2, 0, 0)};
}

Image PointSpread::laid_on(const ReadRow& film) const {
    Image sum(size_.x, size_.y);
    const Image half = halved(size_.x, size_.y, film);
    Image half_sum(half.width, half.height);
    {
        const Image quarter = halved(half);
        Image quarter_sum = convolved(quarter, kernels_.far);
        add_wide_halos(glare_, size_, quarter, quarter_sum);
        add_doubled(quarter_sum, half_sum);
    }
    add_convolved([&](int y, Row row) { std::ranges::copy(half.row(y), row.begin()); },
                  kernels_.mid, half_sum);
    add_doubled(half_sum, sum);
    add_convolved(film, kernels_.near, sum);
    return sum;
}

}  // namespace lampflight
