// A film for trails, finer than the picture where a trail runs. A trail's core is many stops over
// white, and each of the sensor's own pixels clips by itself: a reduced picture that clipped only
// after averaging would show the line too wide and in steps.
#pragma once

#include <cstdint>
#include <unordered_map>
#include <vector>

#include "renderer/image.h"

namespace lampflight {

/// Exposure in lux seconds, kept only in pixels that light reached, each cut into side x side parts.
class TrailFilm {
public:
    TrailFilm(int width_px, int height_px, int side);

    int side() const { return side_; }

    /// Lays light on a disc with a soft edge of one part. `deposit` is in lux seconds times the area
    /// of one pixel of the picture; what falls outside the frame is lost.
    void add_disc(const glm::dvec2& centre_px, double radius_px, const glm::vec3& deposit);

    void add(const TrailFilm& more);

    /// The picture's pixels: means over their parts.
    Image picture() const;

    /// Calls `visit(x, y, parts)` for every pixel that light reached, in no fixed order; `parts`
    /// points at side x side exposures.
    template <class Visit>
    void for_each_pixel(Visit visit) const {
        for (const auto& [pixel, first] : first_part_of_)
            visit(static_cast<int>(pixel % static_cast<std::uint32_t>(width_)),
                  static_cast<int>(pixel / static_cast<std::uint32_t>(width_)), &parts_[first]);
    }

private:
    glm::vec3& part(int x, int y);

    int width_;
    int height_;
    int side_;
    std::unordered_map<std::uint32_t, std::size_t> first_part_of_;
    std::vector<glm::vec3> parts_;
};

}  // namespace lampflight
