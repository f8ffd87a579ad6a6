#include "renderer/sky/skies.h"

#include "scene/shoot/take_moment.h"

namespace lampflight {

const Sky& Skies::at(double after_s) {
    const auto made = skies_.find(after_s);
    return made != skies_.end() ? made->second
                                : skies_.emplace(after_s, made_for(after_s)).first->second;
}

Sky Skies::made_for(double after_s) {
    if (!shoot_.place) return Sky(shoot_.sky);
    const NightSky night = night_sky(shoot_, shoot_.place->when.unix_s + after_s);
    if (!air_) air_.emplace(atmosphere_of(night));
    return Sky(night, *air_);
}

}  // namespace lampflight
