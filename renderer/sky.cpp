#include "renderer/sky.h"

#include <utility>

#include "renderer/night_dome.h"
#include "renderer/stated_dome.h"

namespace lampflight {

Sky::Sky(const SkyLight& light)
    : table_(stated_dome(light)), horizontal_lx_(table_.horizontal_lx()) {}

Sky::Sky(const NightSky& night) : table_(SkyTable::black()) {
    NightDome dome = night_dome(night);
    table_ = std::move(dome.table);
    direct_ = std::move(dome.direct);
    aureoles_ = std::move(dome.aureoles);
    horizontal_lx_ = table_.horizontal_lx();
    for (const Aureole& aureole : aureoles_) horizontal_lx_ += aureole.horizontal_lx();
}

glm::vec3 Sky::luminance_cd_m2(const glm::vec3& direction) const {
    glm::vec3 seen = table_.at(direction);
    for (const Aureole& aureole : aureoles_) seen += aureole.at(direction);
    return seen;
}

}  // namespace lampflight
