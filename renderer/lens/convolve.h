// Convolution with a kernel of few pixels, tap by tap, a colour at a time.
#pragma once

#include <array>
#include <vector>

#include "renderer/lens/blur.h"
#include "renderer/lens/diffraction.h"

namespace lampflight {

/// Where a place beyond an edge lies in a mirror image of what is within.
int mirrored(int place, int count);

/// Beyond the edge of a picture lies its mirror image: were it dark there, the last pixels would
/// be, too. A pixel's sum is the same whatever rows are asked for, by however many threads.
class TapConvolution {
public:
    explicit TapConvolution(const SpreadKernel& kernel);

    /// Some rows of a picture that is read row by row, and where they go.
    struct Rows {
        int height;  ///< of the whole picture
        int first, end;
        Image& sum;
        int top;  ///< the picture's row that is the first of `sum`
    };

    /// Adds some rows alone. Several threads may be at it, each with room of its own that is kept
    /// from one call to the next.
    void add_rows(const ReadRow& picture, const Rows& rows, std::vector<float>& room) const;

private:
    /// Some pixels of four rows of the picture share the reading of one: its taps for each, side by
    /// side. Places are those left of and above the four.
    struct TapRow {
        int y;
        int first_x;
        std::vector<float> weights;
    };

    int radius_;
    std::array<std::vector<TapRow>, 3> rows_;
};

}  // namespace lampflight
