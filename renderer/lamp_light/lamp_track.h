// A lamp over the shutter as the renderer asks for it: fast tables of place, aim and beam. All light
// is that of one lumen until `flux_lm` makes it the lamp's own: nothing that is decided on the way,
// such as where rays go, can then depend on how strong a lamp burns.
#pragma once

#include <array>
#include <vector>

#include "renderer/sampling/lanes.h"
#include "scene/shoot/lit_lamp.h"

namespace lampflight {

/// sin^2(w / 2) of the angle w between a lamp's aim, a unit vector, and the direction from it to a
/// point, given as x, y, z from the point to the lamp and one over their length. Unlike the cosine
/// it keeps its digits near the aim, and forgives an aim that is a hair too short.
inline float haversine_to_aim(float x, float y, float z, float per_m, const glm::vec3& aim) {
    const float off_x = x * per_m + aim.x;
    const float off_y = y * per_m + aim.y;
    const float off_z = z * per_m + aim.z;
    return 0.25f * (off_x * off_x + off_y * off_y + off_z * off_z);
}

/// A lamp at one instant.
struct LampInstant {
    glm::vec3 position_m;
    glm::vec3 aim;  ///< unit
};

/// A lamp at sixteen instants.
struct LampInstants {
    LaneVectors position_m;
    LaneVectors aim;
};

/// Positions and aims at even times of each lit stretch, interpolated between; intensities by angle
/// in a table. Time is lit time: it runs while the lamp burns and stands still while it is dark, so
/// that [0, lit_s()] holds all of its light and nothing else. The parts of a strip follow one another in
/// it.
struct LampCourse;

class LampTrack {
public:
    /// A strip that hangs is cut into so many parts; each goes the whole way by itself, one after
    /// the other in lit time, with its part of the light.
    LampTrack(const LitLamp& lit, const AimTargets& targets, int strip_parts = 1);

    bool moves() const { return moves_; }
    float lit_s() const { return edges_s_.back(); }

    /// Lit times at which it goes dark for a while and moves on, or turns at once, 0 and `lit_s()`
    /// among them: between two neighbours it moves without a jump. At an edge `at` gives what comes
    /// after it.
    const std::vector<float>& edges_s() const { return edges_s_; }

    int strip_parts() const { return strip_parts_; }  ///< each has the same number of edges

    float face_radius_m() const { return face_radius_m_; }
    glm::vec3 flux_lm() const { return flux_lm_; }  ///< linear Rec. 709, its luminance the flux
    float path_length_m() const { return path_length_m_; }

    LampInstant at(float time_s) const;
    void at(const Lanes& time_s, LampInstants& instants) const;

    /// Luminous intensity in candela, of one lumen, by the haversine of the angle w to the aim,
    /// sin^2(w / 2).
    float intensity_cd(float haversine) const;
    void intensity_cd(const Lanes& haversine, Lanes& intensity) const;

    /// Standard deviation of the beam's lobe, taken for a Gaussian: 1 / sqrt(m). Without bounds for
    /// a lamp alike all round.
    float lobe_rad() const { return lobe_rad_; }

    /// Angle from the aim beyond which there is only what goes evenly all round.
    float reach_rad() const { return reach_rad_; }

private:
    /// Entries of one lit stretch, even in its time.
    struct Run {
        float from_s;  ///< lit time
        float cells_per_s;
        int first;  ///< entry
        int cells;
    };
    void add_entry(const Vec3& position_m, const Vec3& aim);
    void add_run(const LampCourse& course, const TimeWindow& window, int cells);
    void index_runs();
    const Run& run_at(float time_s) const;

    // One table a component: the sixteen-lane versions then read them side by side.
    std::array<std::vector<float>, 3> position_m_;
    std::array<std::vector<float>, 3> aim_;
    std::vector<float> intensity_cd_;  ///< even in sin(w / 2), up to the beam's reach
    float cells_per_sine_ = 0.0f;
    float lobe_rad_ = 0.0f;
    float reach_rad_ = 0.0f;
    std::vector<Run> runs_;  ///< none for a standing lamp
    std::vector<float> edges_s_;
    std::vector<int> run_of_part_;  ///< of even parts of the lit time: the run at their start
    float parts_per_s_ = 0.0f;
    bool moves_;
    int strip_parts_ = 1;

    float face_radius_m_;
    float path_length_m_ = 0.0f;
    glm::vec3 flux_lm_;
};

}  // namespace lampflight
