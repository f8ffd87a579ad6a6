// Keys of waypoints, of the stretches of a flight, and of drones.
#include "scene/keys/key_rows.h"

namespace lampflight {

std::vector<Key> waypoint_keys() {
    return {
        required(naming("flight", {"flight", field<&Shoot::waypoints, &SceneWaypoint::flight>,
                                   "Flight that goes through it, in the file's order."})),
        required({"position_m", field<&Shoot::waypoints, &SceneWaypoint::at_m>,
                  "Where it lies: east, north, up.", "m", position}),
        {"hold_s", field<&Shoot::waypoints, &SceneWaypoint::hold_s>,
         "How long the drone stands still there.", "s", within_exposure},
        {"corner_radius_m", field<&Shoot::waypoints, &SceneWaypoint::corner_radius_m>,
         "Radius of the turn there; 0 stops; as the flight's without.", "m", Range{0.0, 1000.0}},
        {"speed_m_s", field<&Shoot::waypoints, &SceneWaypoint::speed_m_s>,
         "Speed on the leg that begins there.", "m/s", Range{0.01, 100.0}},
        {"lit", field<&Shoot::waypoints, &SceneWaypoint::lit>,
         "Whether the lamps burn on that leg."},
        naming("subject", {"aim", field<&Shoot::waypoints, &SceneWaypoint::aim>,
                           "Where they point on it; as each lamp says without.", "", position}),
    };
}

std::vector<Key> stretch_keys() {
    return {
        required(naming("flight", {"flight", field<&Shoot::stretches, &PenStretch::flight>,
                                   "Flight of which it is a part."})),
        required({"part", field<&Shoot::stretches, &PenStretch::part>,
                  "From and to, in shares of the flight's length.", "", share}),
        {"lit", field<&Shoot::stretches, &PenStretch::lit>, "Whether the lamps burn there."},
        naming("subject", {"aim", field<&Shoot::stretches, &PenStretch::aim>,
                           "Where they point there; as each lamp says without.", "", position}),
        naming("lamp", {"lamps", field<&Shoot::stretches, &PenStretch::lamps>,
                        "Lamps that it is about; all that are carried without."}),
    };
}

std::vector<Key> drone_keys() {
    return {
        named({"name", field<&Shoot::drones, &Drone::name>,
               "What flights call it; needed where there is more than one."}),
        {"home_m", field<&Shoot::drones, &Drone::home_m>,
         "Where it takes off: east, north, up. Heights above take-off count from there.", "m",
         position},
        {"mass_kg", field<&Shoot::drones, &Drone::mass_kg>, "Its mass, lamps and all.", "kg",
         Range{0.05, 200.0}},
        {"drag_area_m2", field<&Shoot::drones, &Drone::drag_area_m2>,
         "How the wind takes it: frontal area times drag coefficient.", "m2", Range{0.0, 10.0}},
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
    };
}

}  // namespace lampflight
