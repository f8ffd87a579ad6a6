// A shoot that calls for no caution of its own, and what is said of its changed copies.
#pragma once

#include <algorithm>
#include <string>
#include <vector>

#include "scene/cautions/cautions.h"

namespace lampflight {

/// A halo high over a boulder, all of it in the frame, one lap in one exposure.
inline Shoot calm_shoot() {
    Shoot shoot;
    shoot.camera.position_m = {0.0, -20.0, 1.4};
    shoot.camera.look_at_m = Vec3(0.0, 0.0, 6.0);
    shoot.camera.shutter_s = 20.0;
    Lamp lamp;
    lamp.name = "warm";
    shoot.lamps = {lamp};
    Flight halo;
    halo.name = "halo";
    halo.height_m = 9.0;
    halo.lap_s = 20.0;
    halo.carries = {"warm"};
    shoot.flights = {halo};
    Subject boulder;
    boulder.name = "boulder";
    boulder.model = Model::boulder;
    shoot.subjects = {boulder};
    Take take;
    take.name = "one";
    take.flights = {"halo"};
    shoot.takes = {take};
    return shoot;
}

inline Shoot with_person_at(const Vec3& position_m) {
    Shoot shoot = calm_shoot();
    Subject walker;
    walker.name = "walker";
    walker.model = Model::person;
    walker.position_m = position_m;
    shoot.subjects.push_back(walker);
    return shoot;
}

/// Everyone as tall and as wide as a person.
inline PlacedShoot in_boxes(const Shoot& shoot) {
    PlacedShoot placed{shoot, {}};
    for (const Subject& subject : shoot.subjects) {
        const glm::vec3 foot_m(subject.position_m);
        placed.meshes.emplace_back().positions = {foot_m + glm::vec3(-0.3f, -0.3f, 0.0f),
                                                  foot_m + glm::vec3(0.3f, 0.3f, 1.75f)};
    }
    return placed;
}

inline bool warns(const Shoot& shoot, const std::string& about, CautionLevel level,
                  const std::string& words = "") {
    const std::vector<Caution> list = cautions(in_boxes(shoot));
    return std::any_of(list.begin(), list.end(), [&](const Caution& caution) {
        return caution.about == about && caution.level == level &&
               caution.text.find(words) != std::string::npos;
    });
}

inline bool mentions(const Shoot& shoot, const std::string& about) {
    const std::vector<Caution> list = cautions(in_boxes(shoot));
    return std::any_of(list.begin(), list.end(),
                       [&](const Caution& caution) { return caution.about == about; });
}

/// What is said about something, first to last.
inline std::vector<std::string> texts(const PlacedShoot& shoot, const std::string& about) {
    std::vector<std::string> list;
    for (const Caution& caution : cautions(shoot))
        if (caution.about == about) list.push_back(caution.text);
    return list;
}

}  // namespace lampflight
