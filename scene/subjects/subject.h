// Subjects as the scene states them: a mesh file or one of the models made here, where and when.
#pragma once

#include <optional>
#include <string>

#include "scene/basics/time_windows.h"
#include "scene/basics/vector.h"

namespace lampflight {

enum class Model { person, arch, boulder, standing_stone };

struct Subject {
    std::string name;
    std::optional<Model> model;
    std::optional<std::string> mesh;  ///< path of an OBJ file, from the scene's folder on
    /// Edges of the mesh that turn by more stay sharp where its file does not say. The default lies
    /// between what is cut to look round, ten sides a turn or more (36 degrees), and what is meant
    /// as an edge, eight sides a turn or a chamfer (45 degrees).
    double crease_deg = 40.0;
    Vec3 position_m{0.0, 0.0, 0.0};
    double facing_deg = 180.0;
    double scale = 1.0;
    std::optional<double> reflectance;     ///< scales every material to this mean
    bool takes_part = true;  ///< of a person: knows of the flight; others are kept farther off
    std::optional<TimeWindows> present_s;  ///< when it stands there; always without
};

}  // namespace lampflight
