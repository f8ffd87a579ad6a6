#include "scene/subjects/box.h"

namespace lampflight {

Box box_of(const Mesh& mesh) {
    constexpr double endless = std::numeric_limits<double>::infinity();
    Box box{Vec3(endless), Vec3(-endless)};
    for (const glm::vec3& position : mesh.positions) {
        box.low_m = glm::min(box.low_m, Vec3(position));
        box.high_m = glm::max(box.high_m, Vec3(position));
    }
    return box;
}

}  // namespace lampflight
