// Depth-aware blur: it knows what stands before what. Every pair of pixels gives each other an
// equal share of their light, by the blur disc of the nearer of the two:
//  - across an edge in depth the nearer pixel's disc decides alone. Before a blurred background a
//    sharp edge stays sharp; a blurred foreground spreads over what lies behind it, and what lies
//    behind shows through its rim as far inwards (for want of what it hides, the light beside it);
//  - along a surface shares are balanced so that each pixel ends with one whole in all.
// Shares are the same both ways and no pixel gives more than it has: whatever the depths, the sum
// of light is kept, even light stays even, and no light turns negative. The frame's edge sends back
// what would leave it, as the scene beyond it would.
//
// A pixel's depth is the nearest of its samples: a mean puts the mixed pixels of an edge where
// nothing is, and these shed a halo. Without the balance along a surface, rims of a blurred
// background stayed half sharp. Left out: the iris's polygon (an odd one is not alike both ways),
// what a blurred foreground truly hides, cat's eyes towards the corners, and trails hidden by a
// blurred foreground, which end at its sharp outline.
#pragma once

#include <vector>

#include "renderer/film/image.h"

namespace lampflight {

class DepthAwareBlur {
public:
    /// Radii of the blur discs in pixels, row by row, negative before the focus: they rise with
    /// depth. Up to half a pixel counts as sharp. Wide discs are drawn by a share of their pixels,
    /// to be smoothed by a second, narrower exchange (`smoothing_px`).
    DepthAwareBlur(int width, int height, FilmBuffer<float> blur_px);

    /// The film with its light exchanged. The same for any number of threads.
    Image blurred(Image film) const;

    /// Radius of the exchange that fills the gaps which another leaves in a disc.
    static float smoothing_px(float blur_px);

private:
    /// Pixels of one row within one tile.
    struct Strip {
        int first_x;
        int count;
        int y;
        float reach_px;  ///< of all its pairs
    };
    struct Offset {
        int x;
        int y;
        float length;
        float rank;  ///< 0 to 1: which offsets go first where discs are thinned
    };

    template <class Work>
    void for_strips(Work work) const;
    template <class Visit>
    void for_pairs(const Strip& strip, Visit visit) const;
    void set_reach();
    void set_offsets(float longest_px);
    void balance();
    std::size_t place(int x, int y) const {
        return static_cast<std::size_t>(y) * static_cast<std::size_t>(width_) +
               static_cast<std::size_t>(x);
    }

    int width_;
    int height_;
    FilmBuffer<float> blur_px_;
    std::vector<float> reach_of_tile_px_;  ///< of discs that come in from before
    std::vector<Offset> offsets_;          ///< by length
    FilmBuffer<float> weight_;             ///< shares along a surface are weighed by both pixels'
    FilmBuffer<float> bound_;  ///< 1, or less where shares would come to more than a whole
};

}  // namespace lampflight
