// One dressed stone: a block with eight free corners, worn edges and uneven faces.
#pragma once

#include <array>
#include <cstdint>

#include "scene/subjects/mesh.h"

namespace lampflight {

struct Stone {
    /// Front face (towards -y) anticlockwise from the lower left as seen from there, then the back
    /// face in the same order.
    std::array<Vec3, 8> corners{};
    double edge_m = 0.025;        ///< width of the worn edge
    double unevenness_m = 0.008;  ///< rms of the faces' relief
    std::uint32_t seed = 0;
    std::uint16_t material = 0;
};

/// Adds a closed mesh of the stone, with vertices about 5 cm apart. Normals are left to the caller.
void add_stone(Mesh& mesh, const Stone& stone);

}  // namespace lampflight
