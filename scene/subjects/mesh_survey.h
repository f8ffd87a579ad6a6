// A mesh survey: whether a mesh encloses a body, and which way its faces look.
#pragma once

#include "scene/subjects/mesh.h"

namespace lampflight {

struct MeshSurvey {
    std::size_t open_edges = 0;     ///< with a face on one side only
    std::size_t twisted_edges = 0;  ///< whose two faces look to opposite sides of the surface
    double volume_m3 = 0.0;         ///< enclosed; below 0 where faces look inwards
    /// Length of the sum of all faces' area vectors by the sum of their areas: 0 where the mesh is
    /// closed, 1 for a flat sheet.
    double flatness = 0.0;
};

/// Vertices in one place count as one, however many there are.
MeshSurvey survey_of(const Mesh& mesh);

}  // namespace lampflight
