#include "scene/keys/key_rows.h"

namespace lampflight {

std::vector<Key> place_keys() {
    return {
        required({"latitude_deg", field<&Shoot::place, &Place::latitude_deg>,
                  "Latitude (WGS 84), north positive.", "deg", Range{-90.0, 90.0}}),
        required({"longitude_deg", field<&Shoot::place, &Place::longitude_deg>,
                  "Longitude, east positive.", "deg", Range{-180.0, 180.0}}),
        {"elevation_m", field<&Shoot::place, &Place::elevation_m>, "Height above sea level.", "m",
         Range{-500.0, 9000.0}},
        required({"when", field<&Shoot::place, &Place::when>,
                  "When the shutter opens: it sets sun and moon."}),
        {"declination_deg", field<&Shoot::place, &Place::declination_deg>,
         "How far magnetic north lies east of true north, for bearings by a compass.", "deg",
         Range{-180.0, 180.0}},
        {"ceiling_m", field<&Shoot::place, &Place::ceiling_m>,
         "The ceiling above ground that local rules set for drones; look it up.", "m",
         Range{1.0, 5000.0}},
    };
}

std::vector<Key> sky_keys() {
    return {
        {"horizontal_lx", field<&Shoot::sky, &SkyLight::horizontal_lx>,
         "Light of the sky on open level ground, if there is no [place].", "lx",
         Range{0.0, 200000.0}},
        {"temperature_k", field<&Shoot::sky, &SkyLight::temperature_k>, "Colour of that light.",
         "K", temperature},
        {"glow_bearing_deg", field<&Shoot::sky, &SkyLight::glow_bearing_deg>,
         "Bearing of the afterglow; an even sky without it.", "deg", bearing},
        {"night_mag_arcsec2", field<&Shoot::sky, &SkyLight::night_mag_arcsec2>,
         "With a [place]: how dark its zenith is with neither sun nor moon.", "mag/arcsec2",
         Range{14.0, 23.0}},
        {"cloud_share", field<&Shoot::sky, &SkyLight::cloud_share>,
         "With a [place]: share of the sky under cloud.", "", share},
        {"town.bearing_deg", field<&Shoot::sky, &SkyLight::town, &Town::bearing_deg>,
         "With a [place]: where a town lights the sky.", "deg", bearing},
        {"town.horizontal_lx", field<&Shoot::sky, &SkyLight::town, &Town::horizontal_lx>,
         "With a [place]: the town's light on open level ground.", "lx", Range{0.0, 10.0}},
        {"want_stops", field<&Shoot::sky, &SkyLight::want_stops>,
         "With a [place]: where dusk should bring the sky, from mid-grey.", "stops",
         Range{-10.0, 10.0}},
    };
}

std::vector<Key> air_keys() {
    return {
        {"visibility_km", field<&Shoot::air, &Air::visibility_km>,
         "With a [place]: how far one sees there by day, which tells its haze.", "km",
         Range{1.0, 300.0}},
        {"wind_m_s", field<&Shoot::air, &Air::wind_m_s>,
         "Steady wind where the drone flies, against which it leans.", "m/s", Range{0.0, 40.0}},
        {"wind_from_deg", field<&Shoot::air, &Air::wind_from_deg>,
         "Bearing from which it blows.", "deg", bearing},
        {"gust_m_s", field<&Shoot::air, &Air::gust_m_s>,
         "Speed of the wind in gusts, as forecasts give it; none without.", "m/s",
         Range{0.0, 60.0}},
        {"gust_s", field<&Shoot::air, &Air::gust_s>, "How long gusts last: their correlation time.",
         "s", Range{0.5, 120.0}},
    };
}

}  // namespace lampflight
