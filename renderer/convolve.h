// Pictures convolved with kernels, a colour at a time: taps one by one for small kernels, by the
// Fourier transform for large ones. The number of threads does not change the result.
#pragma once

#include "renderer/blur.h"
#include "renderer/diffraction.h"

namespace lampflight {

/// Adds a picture, read row by row, through a kernel of few pixels. Beyond the edge lies its mirror
/// image: were it dark there, the last pixels would be, too.
void add_convolved(const ReadRow& from, const SpreadKernel& kernel, Image& sum);

/// A picture through a kernel of any size; beyond the edge it is dark. Never below 0 for light and
/// taps that are not; rounding adds up to some 1e-7 of the brightest to each pixel.
Image convolved(const Image& from, const SpreadKernel& kernel);

}  // namespace lampflight
