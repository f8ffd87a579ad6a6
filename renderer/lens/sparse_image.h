// Sparse images: pictures in which few pixels are lit, halved and convolved pixel by pixel of
// those: what runs across a dark frame costs its own length, whatever the kernel.
#pragma once

#include <vector>

#include "renderer/lens/convolve.h"

namespace lampflight {

struct SparsePixel {
    int x;
    glm::vec3 light;
};

/// The lit pixels of each row, from the left.
struct SparseImage {
    explicit SparseImage(const glm::ivec2& size)
        : width(size.x), rows(static_cast<std::size_t>(size.y)) {}

    int height() const { return static_cast<int>(rows.size()); }
    const std::vector<SparsePixel>& row(int y) const { return rows[static_cast<std::size_t>(y)]; }

    int width;
    std::vector<std::vector<SparsePixel>> rows;
};

/// Adds a row of the picture.
void add_row(const SparseImage& picture, int y, Row sum);

/// Half the size, as `halved` of `blur.h` makes it.
SparseImage halved(const SparseImage& from);

/// What `TapConvolution` makes of such a picture. A pixel's sum is the same whatever rows are asked
/// for, by however many threads.
class SparseConvolution {
public:
    explicit SparseConvolution(const SpreadKernel& kernel);

    /// Adds some rows alone. Several threads may be at it.
    void add_rows(const SparseImage& picture, const TapConvolution::Rows& rows) const;

private:
    int radius_;
    std::vector<float> taps_;  ///< rows from the top, a tap's three colours side by side
};

}  // namespace lampflight
