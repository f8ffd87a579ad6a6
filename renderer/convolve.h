// Pictures convolved with kernels, a colour at a time: taps one by one for small kernels, by the
// Fourier transform for large ones. Light beyond the edge counts as none. The number of threads
// does not change the result.
#pragma once

#include "renderer/blur.h"
#include "renderer/diffraction.h"

namespace lampflight {

/// Adds a picture, read row by row, through a kernel of few pixels.
void add_convolved(const ReadRow& from, const SpreadKernel& kernel, Image& sum);

/// A picture through a kernel of any size. Never below 0 for light and taps that are not; rounding
/// adds up to some 1e-7 of the brightest to each pixel.
Image convolved(const Image& from, const SpreadKernel& kernel);

}  // namespace lampflight
