#include "scene/keys/key_rows.h"

namespace lampflight {

std::vector<Key> flight_keys() {
    const Tie round_shapes{"shape", {"circle", "ring", "helix"}};
    const Tie level_shapes{"shape", {"circle", "helix"}};
    const Tie ring_only{"shape", {"ring"}};
    const Tie helix_only{"shape", {"helix"}};
    const Tie line_only{"shape", {"line"}};
    return {
        required(named({"name", field<&Shoot::flights, &Flight::name>, "What takes call it."})),
        {"shape", field<&Shoot::flights, &Flight::shape>,
         "A level circle, a straight line, a ring that stands up, or a circle that climbs."},
        tied(round_shapes, {"centre_m", field<&Shoot::flights, &Flight::centre_m>,
                            "Centre: east, north.", "m", position}),
        tied(round_shapes, {"height_m", field<&Shoot::flights, &Flight::height_m>,
                            "Height of a circle, of a helix's start, or of a ring's centre.", "m",
                            above(0.0, 5000.0)}),
        tied(round_shapes, {"radius_m", field<&Shoot::flights, &Flight::radius_m>, "Radius.", "m",
                            Range{0.01, 5000.0}}),
        tied(level_shapes, {"start_bearing_deg", field<&Shoot::flights, &Flight::start_bearing_deg>,
                            "Bearing of the start, from the centre.", "deg", bearing}),
        tied(ring_only,
             {"start_clock_deg", field<&Shoot::flights, &Flight::start_clock_deg>,
              "Start of a ring, clockwise from its top, seen from its face.", "deg", bearing}),
        tied(ring_only, {"facing_deg", field<&Shoot::flights, &Flight::facing_deg>,
                         "Bearing that a ring's face looks towards.", "deg", bearing}),
        tied(ring_only,
             {"tilt_deg", field<&Shoot::flights, &Flight::tilt_deg>,
              "How far a ring's top leans away from its face.", "deg", Range{-80.0, 80.0}}),
        tied(helix_only, {"rise_m", field<&Shoot::flights, &Flight::rise_m>,
                          "Climb of a helix over the whole flight.", "m", Range{-5000.0, 5000.0}}),
        tied(round_shapes, {"turns", field<&Shoot::flights, &Flight::turns>,
                            "How many times round.", "", Range{0.01, 1000.0}}),
        tied(round_shapes, {"clockwise", field<&Shoot::flights, &Flight::clockwise>,
                            "Sense of turning, seen from above or from the ring's face."}),
        required(tied(line_only, {"from_m", field<&Shoot::flights, &Flight::from_m>,
                                  "Start of a line: east, north, up.", "m", position})),
        required(tied(line_only, {"to_m", field<&Shoot::flights, &Flight::to_m>,
                                  "End of a line: east, north, up.", "m", position})),
        {"lap_s", field<&Shoot::flights, &Flight::lap_s>,
         "Time for one turn, or for the whole of a line; 25 s where no pace is given.", "s",
         Range{0.1, 3600.0}},
        {"speed_m_s", field<&Shoot::flights, &Flight::speed_m_s>, "Speed, instead of lap_s.", "m/s",
         Range{0.01, 100.0}},
        {"pace", field<&Shoot::flights, &Flight::pace>,
         "Instead of lap_s: the whole flight within one exposure."},
        {"limits.speed_m_s", field<&Shoot::flights, &Flight::limits, &SpeedLimits::speed_m_s>,
         "The fastest it flies; any speed without it.", "m/s", Range{0.01, 100.0}},
        {"limits.acceleration_m_s2",
         field<&Shoot::flights, &Flight::limits, &SpeedLimits::acceleration_m_s2>,
         "The most it gains, brakes and turns; the flight then begins and ends at rest.", "m/s2",
         Range{0.01, 100.0}},
        required(naming(
            "lamp", {"carries", field<&Shoot::flights, &Flight::carries>, "Lamps it carries."})),
    };
}

}  // namespace lampflight
