// Wide blurs of pictures: Gaussians, and the steps to half the size and back that make wide ones
// cheap. Light beyond the edge counts as none. All of them run in parallel; the number of threads
// does not change the result.
#pragma once

#include <functional>

#include "renderer/image.h"

namespace lampflight {

/// Reads a row of a picture into `row`. Called from several threads.
using ReadRow = std::function<void(int y, Row row)>;

/// Adds a picture's separable Gaussian blur times a factor to another of its size. Keeps the sum of
/// light but for what leaves the frame.
void add_blurred(const Image& from, double sigma_px, float factor, Image& sum);

/// Half the size by the kernel (1 3 3 1) / 8 each way: unlike means over 2 x 2 it keeps a light's
/// place to a fraction of the small pixel. What falls beyond the edge by it is laid within.
/// `doubled_row` is its transpose.
Image halved(int width, int height, const ReadRow& from);

Image halved(const Image& from);

/// A row of the picture at twice the size: linear interpolation, which over several doublings runs
/// to the quadratic B-spline, smooth in slope. `row` may be one shorter than twice `from`'s width.
void doubled_row(const Image& from, int y, Row row);

/// Adds the whole picture at twice the size.
void add_doubled(const Image& from, Image& sum);

/// Variance, in squared pixels of the larger picture, by which halving widens a blur, and doubling
/// again.
constexpr double halving_variance_px2 = 0.75;

}  // namespace lampflight
