// Sparse grid of a signed distance, known near its surface only: where to look for triangles.
#pragma once

#include <cstdint>
#include <limits>
#include <vector>

#include "scene/subjects/models/isosurface.h"

namespace lampflight {

/// The distance at the corners of cubic cells over a box. Blocks of four cells a side whose middle
/// claims to be near the surface are looked into, their eighths likewise; from there the surface is
/// followed, whatever the middles said. No face of a cell is left with just two corners inside
/// across from each other: there sheets would meet in one edge.
class DistanceLattice {
public:
    DistanceLattice(const SignedDistance& distance_m, const Box& box, double cell_m);

    /// The cells that the surface crosses, by their lower corners: block by block, from low to
    /// high, x fastest.
    std::vector<glm::ivec3> crossed_cells() const;

    /// Which corners of a cell are inside, a bit each; corners are numbered by bits x, y, z.
    unsigned pattern(const glm::ivec3& cell) const {
        const float* const low = value_.data() + index(cell);
        unsigned bits = 0;
        for (unsigned corner = 0; corner < 8; ++corner)
            bits |= (low[corner_step_[corner]] < 0.0f ? 1u : 0u) << corner;
        return bits;
    }

    std::size_t index(const glm::ivec3& p) const {
        return (static_cast<std::size_t>(p.z) * static_cast<std::size_t>(points_.y) +
                static_cast<std::size_t>(p.y)) *
                   static_cast<std::size_t>(points_.x) +
               static_cast<std::size_t>(p.x);
    }
    float value(const glm::ivec3& p) const { return value_[index(p)]; }
    Vec3 place_m(const Vec3& p) const { return low_m_ + p * cell_m_; }
    std::size_t size() const { return value_.size(); }

private:
    static constexpr float far_away = std::numeric_limits<float>::max();

    bool holds(const glm::ivec3& eighth) const;
    std::size_t eighth_index(const glm::ivec3& eighth) const;
    void sample(const glm::ivec3& p);
    void find_near();
    void fill_near();
    void follow();
    bool is_crossed(const glm::ivec3& eighth, int axis, bool upper) const;
    void take_in(const glm::ivec3& eighth);
    bool is_owner(const glm::ivec3& eighth, const glm::ivec3& p) const;
    bool part_pinches();
    bool part_pinch(const glm::ivec3& cell, int axis, int level);
    template <class Visit>
    void visit_near_cells(const Visit& visit) const;

    const SignedDistance& distance_m_;
    Vec3 low_m_;
    double cell_m_;
    glm::ivec3 blocks_{};
    glm::ivec3 points_{};
    std::array<std::size_t, 8> corner_step_{};
    std::vector<float> value_;
    std::vector<std::uint8_t> is_near_;  ///< by eighth of a block
    std::vector<glm::ivec3> near_eighths_;
};

}  // namespace lampflight
