// Irradiance field: a lamp's unshadowed light about a small patch of surface as a vector field. For
// points that do not turn away from the lamp while it burns,
//
//     integral of I cos(theta) / r^2 dt = n . V(p),   V(p) = integral of I d / r^2 dt,
//
// with d the direction to the lamp: relief is in n alone, and V is smooth. A second-order surface
// fitted to V at sixteen points serves all the others at a tenth of the arithmetic of their own
// sum. A few parts of the lamp's way have a field each: fewer points turn away within one, and
// those that turn their back on all of a part get nothing of it.
#pragma once

#include <array>
#include <span>

#include "renderer/lamp_light/shutter_integral.h"

namespace lampflight {

class IrradianceField {
public:
    /// Fits the field of a clock's lamp to places on one surface, spread over the patch that it is
    /// to serve. Serves nothing where it errs by more than a two-thousandth of the field at any of
    /// them, where they are fewer than sixteen, or where a beam may pass between them.
    IrradianceField(const LampTrack& track, const LightClock& clock,
                    std::span<const LightClock::Place> places);
    IrradianceField() = default;

    static constexpr std::size_t most_parts = 4;

    /// Nodes of a part, in the clock.
    struct Nodes {
        std::size_t first;
        std::size_t end;
    };
    std::size_t parts() const { return parts_; }
    Nodes nodes_of(std::size_t part) const { return nodes_[part]; }

    /// Lux seconds at points with nothing in between, without what they get of parts that the field
    /// is not good for: all of them outside the patch, else those amid which a point turns away.
    /// These are told by part.
    Lanes light_lxs(const LaneVectors& position_m, const LaneVectors& normal,
                    std::array<LaneMask, most_parts>& left_out) const;

private:
    static constexpr std::size_t terms = 7;
    using Terms = std::array<float, terms>;

    /// A part of the lamp's way.
    struct Part {
        std::array<glm::vec3, terms> factor{};
        glm::vec3 towards{0.0f};    ///< the middle of the lamp's directions
        float least_cosine = 1.0f;  ///< of a normal to it that faces all of them
    };

    void lay_frame(const LaneVectors& position_m, const glm::vec3& normal);
    Terms terms_at(const glm::vec3& position_m) const;

    bool serves_ = false;
    glm::vec3 middle_m_{0.0f};
    std::array<glm::vec3, 3> per_side_{};  ///< along the patch twice and across it: 1 at its edge
    std::size_t parts_ = 1;
    std::array<Nodes, most_parts> nodes_{};
    std::array<Part, most_parts> part_{};
};

}  // namespace lampflight
