// Gaussian blur of pictures, and the steps to half the size and back that make wide ones cheap.
// Light beyond the edge counts as none. All of them run in parallel; the number of threads does not
// change the result.
#pragma once

#include <functional>
#include <span>
#include <vector>

#include "renderer/film/colour_lines.h"
#include "renderer/film/image.h"

namespace lampflight {

/// Reads a row of a picture into `row`. Called from several threads.
using ReadRow = std::function<void(int y, Row row)>;

/// Adds a picture's separable Gaussian blur times a factor to another of its size. Keeps the sum of
/// light but for what leaves the frame.
void add_blurred(const Image& from, double sigma_px, float factor, Image& sum);

/// Half a picture's size, odd sides rounded up.
inline glm::ivec2 half_of(const glm::ivec2& size) {
    return (size + 1) / 2;
}

/// Half the size by the kernel (1 3 3 1) / 8 each way: unlike means over 2 x 2 it keeps a light's
/// place to a fraction of the small pixel. What falls beyond the edge by it is laid within.
/// `Doubling` is its transpose.
Image halved(int width, int height, const ReadRow& from);

/// Some pictures of one size, a band of rows of each after the other, so that what is read for one
/// is at hand for the next.
std::vector<Image> halved(int width, int height, std::span<const ReadRow> from);

Image halved(const Image& from);

/// Rows of pictures at twice the size: linear interpolation, which over several doublings runs to
/// the quadratic B-spline, smooth in slope.
class Doubling {
public:
    /// To rows of so many pixels.
    explicit Doubling(int width);

    /// Fills row `y`. `top` is the row of the smaller picture that is the first of `from`; the
    /// first and last of `from` are taken for those of the whole.
    void row(const Image& from, int top, int y, Row to);

private:
    std::size_t halves_;
    std::vector<glm::vec3> between_;
    ColourLines lines_;  ///< one pixel more at either end
    ColourLines doubled_;
};

/// Adds the whole picture at twice the size.
void add_doubled(const Image& from, Image& sum);

/// Variance, in squared pixels of the larger picture, by which halving widens a blur, and doubling
/// again.
constexpr double halving_variance_px2 = 0.75;

}  // namespace lampflight
