#include "scene/keys/key_rows.h"

namespace lampflight {
namespace {

constexpr Range drone_mass{0.01, 200.0};
constexpr Range minutes{0.5, 600.0};

/// What it can do, and for how long.
std::vector<Key> ability_keys() {
    return {
        {"mass_kg", field<&Shoot::drones, &Drone::mass_kg>,
         "Its mass ready to fly, without lamps.", "kg", drone_mass},
        {"lamp_mass_kg", field<&Shoot::drones, &Drone::lamp_mass_kg>,
         "Mass of all that is tied on: lamps, mounts, their batteries.", "kg", Range{0.0, 200.0}},
        {"payload_kg", field<&Shoot::drones, &Drone::payload_kg>,
         "The most that its maker rates it to carry.", "kg", Range{0.0, 200.0}},
        {"drag_area_m2", field<&Shoot::drones, &Drone::drag_area_m2>,
         "How the wind takes it: frontal area times drag coefficient.", "m2", Range{0.0, 10.0}},
        {"endurance_min", field<&Shoot::drones, &Drone::endurance_min>,
         "How long it hovers without lamps until its battery is empty; a load shortens it.", "min",
         minutes},
        {"loaded_endurance_min", field<&Shoot::drones, &Drone::loaded_endurance_min>,
         "The same with its lamps, as you timed it; counts before endurance_min.", "min", minutes},
        {"reserve", field<&Shoot::drones, &Drone::reserve>,
         "Share of the battery that is left when it has landed.", "", Range{0.0, 0.9}},
        {"transit_m_s", field<&Shoot::drones, &Drone::transit_m_s>,
         "Speed out to its first flight and back home.", "m/s", Range{0.1, 100.0}},
        {"reset_s", field<&Shoot::drones, &Drone::reset_s>,
         "Time in the air between two takes: back to the start, the next one set up.", "s",
         within_exposure},
        {"top_wind_m_s", field<&Shoot::drones, &Drone::top_wind_m_s>,
         "The most wind that its maker rates it for.", "m/s", Range{0.1, 60.0}},
        {"return_height_m", field<&Shoot::drones, &Drone::return_height_m>,
         "Height above take-off at which it comes home by itself.", "m", Range{1.0, 500.0}},
        {"limits.speed_m_s", field<&Shoot::drones, &Drone::limits, &SpeedLimits::speed_m_s>,
         "The fastest it flies. A flight's own limits count before the drone's.", "m/s",
         Range{0.01, 100.0}},
        {"limits.acceleration_m_s2",
         field<&Shoot::drones, &Drone::limits, &SpeedLimits::acceleration_m_s2>,
         "The most it gains, brakes and turns.", "m/s2", Range{0.01, 100.0}},
        {"limits.turning_m_s2", field<&Shoot::drones, &Drone::limits, &SpeedLimits::turning_m_s2>,
         "The most across its course, in bends.", "m/s2", Range{0.01, 100.0}},
        {"limits.climb_m_s", field<&Shoot::drones, &Drone::limits, &SpeedLimits::climb_m_s>,
         "The fastest it climbs.", "m/s", Range{0.01, 100.0}},
        {"limits.descent_m_s", field<&Shoot::drones, &Drone::limits, &SpeedLimits::descent_m_s>,
         "The fastest it sinks.", "m/s", Range{0.01, 100.0}},
        {"limits.yaw_deg_s", field<&Shoot::drones, &Drone::limits, &SpeedLimits::yaw_deg_s>,
         "The fastest its nose turns.", "deg/s", Range{0.1, 3600.0}},
        {"limits.air_m_s", field<&Shoot::drones, &Drone::limits, &SpeedLimits::air_m_s>,
         "The fastest it goes through the air; against the wind that much less over ground.", "m/s",
         Range{0.1, 100.0}},
    };
}

/// Lights of its own.
std::vector<Key> light_keys() {
    return {
        {"own_lights", field<&Shoot::drones, &Drone::own_lights>,
         "Its position lights: taped over, or showing, which draws their streaks."},
        {"lights.left", field<&Shoot::drones, &Drone::lights, &PositionLights::left>,
         "Colour of the one on its left."},
        {"lights.right", field<&Shoot::drones, &Drone::lights, &PositionLights::right>,
         "Colour of the one on its right."},
        {"lights.behind", field<&Shoot::drones, &Drone::lights, &PositionLights::behind>,
         "Colour of the one behind."},
        {"lights.flux_lm", field<&Shoot::drones, &Drone::lights, &PositionLights::flux_lm>,
         "Light that each of them sends.", "lm", Range{1e-6, 1e5}},
        {"lights.arm_m", field<&Shoot::drones, &Drone::lights, &PositionLights::arm_m>,
         "How far from its middle they sit.", "m", Range{0.0, 10.0}},
        {"beacon.per_minute",
         field<&Shoot::drones, &Drone::beacon, &Beacon::pulse, &Pulse::per_minute>,
         "Flashes in a minute of an anti-collision light on top; none without it.", "per min",
         flashes_per_minute},
        {"beacon.on_s", field<&Shoot::drones, &Drone::beacon, &Beacon::pulse, &Pulse::on_s>,
         "How long a flash lasts.", "s", flash},
        {"beacon.first_s", field<&Shoot::drones, &Drone::beacon, &Beacon::pulse, &Pulse::first_s>,
         "When the first flash begins, from the shutter's opening.", "s", within_exposure},
        {"beacon.flux_lm", field<&Shoot::drones, &Drone::beacon, &Beacon::flux_lm>,
         "Light that it sends all round while it is on.", "lm", Range{1e-6, 1e5}},
        {"beacon.colour", field<&Shoot::drones, &Drone::beacon, &Beacon::colour>,
         "Colour of its light."},
    };
}

}  // namespace

std::vector<Key> drone_keys() {
    std::vector<Key> keys{
        named({"name", field<&Shoot::drones, &Drone::name>,
               "What flights call it; needed where there is more than one."}),
        {"home_m", field<&Shoot::drones, &Drone::home_m>,
         "Where it takes off: east, north, up. Heights above take-off count from there.", "m",
         position},
    };
    for (const auto& part : {ability_keys(), light_keys()})
        keys.insert(keys.end(), part.begin(), part.end());
    return keys;
}

}  // namespace lampflight
