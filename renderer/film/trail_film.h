// A film for trails, finer than the picture where a trail runs. A trail's core is many stops over
// white, and each of the sensor's own pixels clips by itself: a reduced picture that clipped only
// after averaging would show the line too wide and in steps.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "renderer/film/image.h"

namespace lampflight {

/// A pixel of the picture that a trail reached.
struct TrailPixel {
    int x;
    int y;
    glm::vec3 mean_lxs;                ///< over its parts: what the picture shows
    std::span<const glm::vec3> parts;  ///< side x side exposures, within the film it came from
};

/// Pixels side by side that a trail film keeps once light has reached one of them.
constexpr int trail_run_px = 8;

glm::vec3 mean_of(std::span<const glm::vec3> parts);

/// Exposure in lux seconds, kept only in pixels that light reached, each cut into side x side
/// parts.
class TrailFilm {
public:
    TrailFilm(int width_px, int height_px, int side);

    int width() const { return width_; }
    int height() const { return height_; }
    int side() const { return side_; }

    /// Lays light on a disc with a soft edge of one part. `deposit` is in lux seconds times the
    /// area of one pixel of the picture; what falls outside the frame is lost.
    void add_disc(const glm::dvec2& centre_px, double radius_px, const glm::vec3& deposit);

    /// A part within the frame, from now on one that light reached. Threads may be at different
    /// rows of pixels.
    glm::vec3& part(int x, int y) {
        return first_part(x / side_, y / side_)[y % side_ * side_ + x % side_];
    }

    /// Adds exposures in lux seconds to a row of parts, from a part within the frame on.
    /// Threads may be at different rows of pixels.
    void add_row(int x, int y, std::span<const glm::vec3> row_lxs);

    /// Adds exposures in lux seconds to all parts of a pixel within the frame.
    void add_pixel(int x, int y, std::span<const glm::vec3> parts_lxs);

    /// The parts of a pixel; empty where no light reached and outside the frame. Holds while the
    /// film stays as it is.
    std::span<const glm::vec3> parts(int x, int y) const;

    /// Mean over the parts of a pixel of the picture; none outside the frame.
    glm::vec3 exposure_lxs(int x, int y) const;

    /// Every pixel that light reached, row by row, from the left. Holds while the film stays as it
    /// is.
    std::vector<TrailPixel> pixels() const;

    /// The picture's pixels: means over their parts.
    Image picture() const;

private:
    /// A row of pixels, in runs: those that hold one that light reached.
    struct PixelRow {
        std::vector<std::uint32_t> place_of_run;  ///< one more than it is; 0 for none
        std::vector<std::uint8_t> reached;        ///< of each run, a bit for each pixel
        std::vector<glm::vec3> parts;             ///< of each run, those of a pixel together
    };

    std::span<const glm::vec3> parts_of(const PixelRow& row, std::size_t run, int pixel) const;
    /// Of a pixel; from now on one that light reached.
    glm::vec3* first_part(int x, int y);
    void add_pixels(int y, std::vector<TrailPixel>& pixels) const;

    int width_;
    int height_;
    int side_;
    std::vector<PixelRow> rows_;
};

}  // namespace lampflight
