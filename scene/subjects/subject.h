// Subjects: what the light falls on, from a mesh file or one of the models made here.
#pragma once

#include <optional>
#include <string>

#include "scene/basics/time_windows.h"
#include "scene/basics/vector.h"
#include "scene/subjects/mesh.h"

namespace lampflight {

enum class Model { person, arch, boulder };

struct Subject {
    std::string name;
    std::optional<Model> model;
    std::optional<std::string> mesh;  ///< path of an OBJ file, made absolute by the reader
    Vec3 position_m{0.0, 0.0, 0.0};
    double facing_deg = 180.0;
    double scale = 1.0;
    std::optional<double> reflectance;     ///< scales every material to this mean
    std::optional<TimeWindows> present_s;  ///< when it stands there; always without
    /// Placed in the world; filled at the door.
    Mesh placed;
};

}  // namespace lampflight
