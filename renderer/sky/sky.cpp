#include "renderer/sky/sky.h"

#include <utility>

#include "renderer/sky/stated_dome.h"

namespace lampflight {
namespace {

glm::vec3 level_lx(const NightDome& dome) {
    glm::vec3 sum = dome.table.horizontal_lx();
    for (const Aureole& aureole : dome.aureoles) sum += aureole.horizontal_lx();
    return sum;
}

}  // namespace

Sky::Sky(const SkyLight& light) : Sky(NightDome{stated_dome(light), {}, {}}) {}

Sky::Sky(const NightSky& night) : Sky(night, atmosphere_of(night)) {}

Sky::Sky(const NightSky& night, const Atmosphere& air) : Sky(night_dome(night, air)) {}

Sky::Sky(NightDome dome)
    : dome_(std::move(dome)),
      horizontal_lx_(level_lx(dome_)),
      open_([this](const glm::vec3& direction) { return luminance_cd_m2(direction); },
            horizontal_lx_) {}

glm::vec3 Sky::luminance_cd_m2(const glm::vec3& direction, const SkyTable::Place& place) const {
    glm::vec3 seen = dome_.table.at(place);
    for (const Aureole& aureole : dome_.aureoles)
        if (aureole.near(direction)) seen = within_rec709(seen + aureole.at(direction));
    return seen;
}

}  // namespace lampflight
