// Keys of waypoints and of the stretches of a flight.
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

}  // namespace lampflight
