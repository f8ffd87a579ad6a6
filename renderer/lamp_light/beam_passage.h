// Beam passage: when a lamp's beam sweeps over a few points near each other, however narrow it is.
//
// Seen from a point, all that matters of lamp and aim is d - a, the direction from the lamp to the
// point less that of its aim: its length tells the angle to the aim, its way how fast the beam
// turns. A ball about the points widens that angle, half a step's turn widens it on, and where the
// beam can't reach even so nothing passes; where it can, steps are cut until the beam turns by less
// than half the width of its lobe in each. So no beam slips between two instants.
#pragma once

#include <array>
#include <span>
#include <vector>

#include "renderer/lamp_light/lamp_track.h"

namespace lampflight {

/// A few points near each other: a ball about all of them, and how some of them face.
struct Patch {
    glm::vec3 middle_m{0.0f};
    float radius_m = 0.0f;
    std::array<glm::vec3, 5> normal{};
    std::size_t normals = 0;
};

/// A step of lit time.
struct PassageStep {
    float from_s;
    float lasts_s;
    float light_lx;  ///< about the most that any of the points gets
    float turned;    ///< how far the beam turns, as a share of what a rule may take for smooth
    bool reached;    ///< by the beam, not only by what goes evenly all round
};

struct BeamPassage {
    std::vector<PassageStep> steps;
    bool alike = true;  ///< all points are lit much alike, while they are
};

/// The passage through `instants`, which are even over the `lit_s` from `from_s` on. Steps too
/// coarse for the beam are cut.
BeamPassage beam_passage(const LampTrack& track, const Patch& patch, float from_s, float lit_s,
                         std::span<const LampInstants> instants);

}  // namespace lampflight
