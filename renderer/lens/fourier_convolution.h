// Fourier convolution: pictures under one large kernel, a colour at a time.
#pragma once

#include <array>

#include "renderer/film/image.h"
#include "renderer/lens/diffraction.h"

namespace lampflight {

/// Of pictures of one size; the kernel is transformed once. The number of threads does not change
/// the result.
class FourierConvolution {
public:
    /// A kernel alike on opposite sides: its transform is then real.
    FourierConvolution(const SpreadKernel& kernel, const glm::ivec2& picture_size);

    /// Beyond the edge the picture is dark. Never below 0 for light and taps that are not; rounding
    /// adds up to some 1e-7 of the brightest to each pixel.
    Image of(const Image& picture) const;

private:
    glm::ivec2 size_;                          ///< of the ring that picture and kernel share
    std::array<FilmBuffer<float>, 3> kernel_;  ///< spectrum over the number of values, by columns
};

}  // namespace lampflight
