#include "scene/subjects/box.h"

namespace lampflight {

Box box_of(const Subject& subject) {
    const std::vector<glm::vec3>& positions = subject.placed.positions;
    if (positions.empty()) {
        const Vec3 half_width{0.3 * subject.scale, 0.3 * subject.scale, 0.0};
        return {subject.position_m - half_width,
                subject.position_m + half_width + Vec3(0.0, 0.0, 1.75 * subject.scale)};
    }
    Box box{Vec3(positions.front()), Vec3(positions.front())};
    for (const glm::vec3& position : positions) {
        box.low_m = glm::min(box.low_m, Vec3(position));
        box.high_m = glm::max(box.high_m, Vec3(position));
    }
    return box;
}

}  // namespace lampflight
