#include "scene/keys/key_rows.h"

namespace lampflight {
namespace {

/// Lengths of shapes, short of nothing.
constexpr Range shape_length{0.01, 5000.0};

/// Where a shape lies and how large it is.
std::vector<Key> shape_keys() {
    const Tie centred{"shape",
                      {"circle", "ring", "helix", "spiral", "star", "sweep", "hover", "figure"}};
    const Tie turning{"shape", {"circle", "ring", "helix", "spiral"}};
    const Tie with_radius{"shape", {"circle", "ring", "helix", "spiral", "star"}};
    const Tie level{"shape", {"circle", "helix", "spiral"}};
    const Tie by_clock{"shape", {"ring", "star"}};
    const Tie faced{"shape", {"ring", "star", "figure"}};
    const Tie climbing{"shape", {"helix", "spiral"}};
    const Tie spiral_only{"shape", {"spiral"}};
    const Tie star_only{"shape", {"star"}};
    const Tie sweep_only{"shape", {"sweep"}};
    const Tie line_only{"shape", {"line"}};
    const Tie wide{"shape", {"sweep", "figure"}};
    return {
        {"shape", field<&Shoot::flights, &Flight::shape>,
         "What it draws: a level circle, a straight line, a ring that stands up, ..."},
        tied(centred, {"centre_m", field<&Shoot::flights, &Flight::centre_m>,
                       "Centre: east, north.", "m", position}),
        tied(centred,
             {"height_m", field<&Shoot::flights, &Flight::height_m>,
              "Height of what is level, of a climb's start, of the centre of what stands up.", "m",
              above(0.0, 5000.0)}),
        tied(with_radius, {"radius_m", field<&Shoot::flights, &Flight::radius_m>,
                           "Radius; of a spiral where it starts, of a star to its tips.", "m",
                           shape_length}),
        tied(spiral_only, {"end_radius_m", field<&Shoot::flights, &Flight::end_radius_m>,
                           "Radius of a spiral where it ends.", "m", shape_length}),
        tied(star_only,
             {"inner_radius_m", field<&Shoot::flights, &Flight::inner_radius_m>,
              "Radius of a star's inner corners; as its crossed strokes give it without.", "m",
              shape_length}),
        tied(star_only, {"tips", field<&Shoot::flights, &Flight::tips>, "How many tips a star has.",
                         "", Range{3.0, 60.0}}),
        tied(level, {"start_bearing_deg", field<&Shoot::flights, &Flight::start_bearing_deg>,
                     "Bearing of the start, from the centre.", "deg", bearing}),
        tied(by_clock,
             {"start_clock_deg", field<&Shoot::flights, &Flight::start_clock_deg>,
              "Start of a ring, clockwise from its top, seen from its face; a star stands turned "
              "by so much less 180.",
              "deg", bearing}),
        tied(faced, {"facing_deg", field<&Shoot::flights, &Flight::facing_deg>,
                     "Bearing that its face looks towards; of a star and a figure to the camera "
                     "without, of a ring 180.",
                     "deg", bearing}),
        tied(faced, {"tilt_deg", field<&Shoot::flights, &Flight::tilt_deg>,
                     "How far its top leans away from its face; 90 lies level.", "deg",
                     Range{-90.0, 90.0}}),
        tied(climbing, {"rise_m", field<&Shoot::flights, &Flight::rise_m>,
                        "Climb over the whole flight.", "m", Range{-5000.0, 5000.0}}),
        tied(turning, {"turns", field<&Shoot::flights, &Flight::turns>, "How many times round.", "",
                       Range{0.01, 1000.0}}),
        tied(turning, {"clockwise", field<&Shoot::flights, &Flight::clockwise>,
                       "Sense of turning, seen from above or from the face."}),
        tied(sweep_only, {"length_m", field<&Shoot::flights, &Flight::length_m>,
                          "Length of a sweep's lanes.", "m", shape_length}),
        tied(wide, {"width_m", field<&Shoot::flights, &Flight::width_m>,
                    "Width of a figure, or of all lanes of a sweep together.", "m", shape_length}),
        tied(sweep_only, {"lane_m", field<&Shoot::flights, &Flight::lane_m>,
                          "From one lane of a sweep to the next.", "m", Range{0.1, 1000.0}}),
        tied(sweep_only, {"bearing_deg", field<&Shoot::flights, &Flight::bearing_deg>,
                          "Bearing of a sweep's first lane.", "deg", bearing}),
        required(tied(line_only, {"from_m", field<&Shoot::flights, &Flight::from_m>,
                                  "Start of a line: east, north, up.", "m", position})),
        required(tied(line_only, {"to_m", field<&Shoot::flights, &Flight::to_m>,
                                  "End of a line: east, north, up.", "m", position})),
    };
}

/// Shapes of one's own.
std::vector<Key> drawn_keys() {
    const Tie drawn{"shape", {"star", "sweep", "waypoints", "figure"}};
    const Tie waypoints_only{"shape", {"waypoints"}};
    const Tie figure_only{"shape", {"figure"}};
    return {
        tied(waypoints_only,
             path({"waypoints", field<&Shoot::flights, &Flight::waypoints>,
                   "File of waypoints: .csv, .geojson, .gpx or .kml; [[waypoint]] without."})),
        tied(waypoints_only, named({"track", field<&Shoot::flights, &Flight::track>,
                                    "Which path of that file, where it has more than one."})),
        required(tied(figure_only, path({"figure", field<&Shoot::flights, &Flight::figure>,
                                         "SVG file whose paths it draws."}))),
        tied(figure_only, {"mirrored", field<&Shoot::flights, &Flight::mirrored>,
                           "Left and right exchanged, as the camera sees it."}),
        tied(figure_only, {"shortest_way", field<&Shoot::flights, &Flight::shortest_way>,
                           "Strokes in the order with the shortest dark way between them; in the "
                           "file's without."}),
        tied(drawn, {"corner_radius_m", field<&Shoot::flights, &Flight::corner_radius_m>,
                     "Radius of its corners; 0 stops in each; cut by 5 cm without.", "m",
                     Range{0.0, 1000.0}}),
    };
}

std::vector<Key> pace_keys() {
    return {
        {"lap_s", field<&Shoot::flights, &Flight::lap_s>,
         "Time for one turn, or for the whole of other shapes; 25 s for a circle, ring, helix, "
         "spiral or line without a pace.",
         "s", Range{0.1, 3600.0}},
        {"speed_m_s", field<&Shoot::flights, &Flight::speed_m_s>,
         "Speed, instead of lap_s; a drawn shape goes at 2 m/s without a pace.", "m/s",
         Range{0.01, 100.0}},
        {"pace", field<&Shoot::flights, &Flight::pace>,
         "Instead of lap_s: the whole flight within one exposure, or what is left of it."},
        {"limits.speed_m_s", field<&Shoot::flights, &Flight::limits, &SpeedLimits::speed_m_s>,
         "The fastest it flies; any speed without it.", "m/s", Range{0.01, 100.0}},
        {"limits.acceleration_m_s2",
         field<&Shoot::flights, &Flight::limits, &SpeedLimits::acceleration_m_s2>,
         "The most it gains, brakes and turns; the flight then begins and ends at rest. A drawn "
         "shape has 2 without.",
         "m/s2", Range{0.01, 100.0}},
        {"limits.turning_m_s2",
         field<&Shoot::flights, &Flight::limits, &SpeedLimits::turning_m_s2>,
         "The most across its course, in bends.", "m/s2", Range{0.01, 100.0}},
        {"limits.climb_m_s", field<&Shoot::flights, &Flight::limits, &SpeedLimits::climb_m_s>,
         "The fastest it climbs.", "m/s", Range{0.01, 100.0}},
        {"limits.descent_m_s", field<&Shoot::flights, &Flight::limits, &SpeedLimits::descent_m_s>,
         "The fastest it sinks.", "m/s", Range{0.01, 100.0}},
        {"limits.yaw_deg_s", field<&Shoot::flights, &Flight::limits, &SpeedLimits::yaw_deg_s>,
         "The fastest its nose turns.", "deg/s", Range{0.1, 3600.0}},
        {"limits.air_m_s", field<&Shoot::flights, &Flight::limits, &SpeedLimits::air_m_s>,
         "The fastest it goes through the air; against the wind that much less over ground.", "m/s",
         Range{0.1, 100.0}},
        {"run_up", field<&Shoot::flights, &Flight::run_up>,
         "Gets up speed before its shape and loses it behind, dark; needs limits."},
        {"nose", field<&Shoot::flights, &Flight::nose>,
         "Where the drone's nose points: one bearing, along the course, or to the centre."},
        {"nose_deg", field<&Shoot::flights, &Flight::nose_deg>, "Bearing of a nose that is kept.",
         "deg", bearing},
        {"start_s", field<&Shoot::flights, &Flight::start_s>,
         "When it begins, from the shutter's opening or from the flight before.", "s",
         within_exposure},
        naming("flight", {"after", field<&Shoot::flights, &Flight::after>,
                          "Flight that the same drone flies just before."}),
        naming("drone", {"drone", field<&Shoot::flights, &Flight::drone>,
                         "Drone that flies it; one drone's flights follow one another."}),
        {"wander_m", field<&Shoot::flights, &Flight::wander_m>,
         "How far it strays from its path: rms east, and north, half of it up; 0.3 is common. As the "
         "flight before without, or not at all.",
         "m", Range{0.0, 20.0}},
        {"wander_s", field<&Shoot::flights, &Flight::wander_s>,
         "How long it strays to one side: correlation time; 4 s without.", "s", Range{0.2, 600.0}},
        {"wander_seed", field<&Shoot::flights, &Flight::wander_seed>,
         "Another number strays otherwise, by as much.", "", Range{0.0, 1e6}},
        {"gap_m", field<&Shoot::flights, &Flight::gap_m>,
         "A line whose ends come this near counts as closed.", "m", Range{0.01, 100.0}},
        {"lit_between", field<&Shoot::flights, &Flight::lit_between>,
         "Its lamps burn on the way from the flight before as well."},
        required(naming(
            "lamp", {"carries", field<&Shoot::flights, &Flight::carries>, "Lamps it carries."})),
    };
}

}  // namespace

std::vector<Key> flight_keys() {
    std::vector<Key> keys{
        required(named({"name", field<&Shoot::flights, &Flight::name>, "What takes call it."}))};
    for (const auto& part : {shape_keys(), drawn_keys(), pace_keys()})
        keys.insert(keys.end(), part.begin(), part.end());
    return keys;
}

}  // namespace lampflight
