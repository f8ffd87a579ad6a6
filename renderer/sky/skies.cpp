#include "renderer/sky/skies.h"

#include "scene/sky/celestial.h"
#include "scene/sky/night_sky.h"

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

StarField star_field(const Shoot& shoot, double after_s) {
    const Place& place = *shoot.place;
    const double unix_s = place.when.unix_s + after_s;
    const NightSky night = night_sky(shoot, unix_s);
    StarField field;
    field.horizon_from_icrs = horizon_from_icrs(place, unix_s);
    field.latitude_deg = place.latitude_deg;
    field.elevation_m = place.elevation_m;
    field.extinction = star_extinction(night.visibility_km, night.elevation_m);
    field.clear_share = 1.0 - night.cloud_share;
    return field;
}

}  // namespace lampflight
