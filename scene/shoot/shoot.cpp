#include "scene/shoot/shoot.h"

namespace lampflight {

ExposureSettings settings_of(const Shoot& shoot, const Take& take) {
    return {.shutter_s = take.shutter_s.value_or(shoot.camera.shutter_s),
            .f_number = take.f_number.value_or(shoot.camera.f_number),
            .iso = take.iso.value_or(shoot.camera.iso)};
}

Vec2 ground_middle_m(const Shoot& shoot) {
    const Vec2 camera_m(shoot.camera.position_m);
    Vec2 action_m = shoot.camera.look_at_m ? Vec2(*shoot.camera.look_at_m) : camera_m;
    if (!shoot.subjects.empty()) {
        action_m = Vec2(0.0);
        for (const Subject& subject : shoot.subjects) action_m += Vec2(subject.position_m);
        action_m /= static_cast<double>(shoot.subjects.size());
    }
    return glm::mix(action_m, camera_m, 1.0 / 3.0);
}

Terrain terrain_of(const Shoot& shoot) {
    Terrain terrain{shoot.ground, ground_middle_m(shoot)};
    for (const Subject& subject : shoot.subjects)
        if (subject.model == Model::person) terrain.trodden_m.push_back(Vec2(subject.position_m));
    return terrain;
}

}  // namespace lampflight
