// Wide blurs of pictures: Gaussians, and the steps to half the size and back that make wide ones
// cheap. Light beyond the edge counts as none. All of them run in parallel; the number of threads
// does not change the result.
#pragma once

#include <functional>

#include "renderer/image.h"

namespace lampflight {

/// Reads a row of a picture into `row`. Called from several threads.
using ReadRow = std::function<void(int y, Row row)>;

/// Separable Gaussian blur. Keeps the sum of light but for what leaves the frame.
Image blurred(const Image& from, double sigma_px);

/// Means over 2 x 2 pixels.
Image halved(int width, int height, const ReadRow& from);

/// Half the size by the kernel (1 3 3 1) / 8 each way: unlike means over 2 x 2 it keeps a light's
/// place to a fraction of the small pixel. `doubled_row` is its transpose.
Image smoothly_halved(const Image& from);

/// A row of the picture at twice the size: linear interpolation, which over several doublings runs
/// to the quadratic B-spline, smooth in slope. `row` may be one shorter than twice `from`'s width.
void doubled_row(const Image& from, int y, Row row);

/// Variance, in squared pixels, by which each of these steps widens a blur: means over 2 x 2 in
/// pixels of the larger picture, the others likewise.
constexpr double halving_variance = 0.25;
constexpr double smooth_halving_variance = 0.75;
constexpr double doubling_variance = 0.75;

}  // namespace lampflight
