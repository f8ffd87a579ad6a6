#include "scene/keys/key_table.h"

#include "scene/keys/key_rows.h"

namespace lampflight {
namespace {

// How to reach a member from the shoot; where there are several entries, in the last of them.
template <auto member>
Field of_shoot(Shoot& shoot) {
    return &(shoot.*member);
}
template <auto member>
Field of_place(Shoot& shoot) {
    if (!shoot.place) shoot.place.emplace();
    return &(*shoot.place.*member);
}
template <auto member>
Field of_town(Shoot& shoot) {
    return &(shoot.sky.town.*member);
}
template <auto member>
Field of_sky(Shoot& shoot) {
    return &(shoot.sky.*member);
}
template <auto member>
Field of_air(Shoot& shoot) {
    return &(shoot.air.*member);
}
template <auto member>
Field of_ground(Shoot& shoot) {
    return &(shoot.ground.*member);
}
template <auto member>
Field of_subject(Shoot& shoot) {
    return &(shoot.subjects.back().*member);
}
template <auto member>
Field of_lamp(Shoot& shoot) {
    return &(shoot.lamps.back().*member);
}
template <auto member>
Field of_gel(Shoot& shoot) {
    return &(shoot.lamps.back().gel.*member);
}
template <auto member>
Field of_pulse(Shoot& shoot) {
    return &(shoot.lamps.back().pulse.*member);
}
template <auto member>
Field of_limits(Shoot& shoot) {
    return &(shoot.flights.back().limits.*member);
}
template <auto member>
Field of_flight(Shoot& shoot) {
    return &(shoot.flights.back().*member);
}
template <auto member>
Field of_point(Shoot& shoot) {
    return &(shoot.points.back().*member);
}
template <auto member>
Field of_take(Shoot& shoot) {
    return &(shoot.takes.back().*member);
}
template <auto member>
Field of_photograph(Shoot& shoot) {
    return &(shoot.photograph.*member);
}

template <auto entries>
void append_to(Shoot& shoot) {
    (shoot.*entries).emplace_back();
}

const Tie round_shapes{"shape", {"circle", "ring", "helix"}};
const Tie level_shapes{"shape", {"circle", "helix"}};
const Tie ring_only{"shape", {"ring"}};
const Tie helix_only{"shape", {"helix"}};
const Tie line_only{"shape", {"line"}};
const Tie rough_only{"kind", {"rough"}};

// What few keys need besides, put around their row.
Key required(Key key) {
    key.need = Need::required;
    return key;
}
Key tied(const Tie& tie, Key key) {
    key.tie = tie;
    return key;
}
Key named(Key key) {
    key.text = TextRule::name;
    return key;
}
Key path(Key key) {
    key.text = TextRule::path;
    return key;
}
/// The texts name entries of a table.
Key naming(std::string_view table, Key key) {
    key.refers = table;
    return named(key);
}
Key naming_any(std::string_view table, Key key) {
    key.may_be_empty = true;
    return naming(table, key);
}

std::vector<Key> top_keys() {
    return {
        {"", "title", of_shoot<&Shoot::title>, "What the photograph is called."},
    };
}

std::vector<Key> place_keys() {
    return {
        required({"place", "latitude_deg", of_place<&Place::latitude_deg>,
                  "Latitude (WGS 84), north positive.", "deg", Range{-90.0, 90.0}}),
        required({"place", "longitude_deg", of_place<&Place::longitude_deg>,
                  "Longitude, east positive.", "deg", Range{-180.0, 180.0}}),
        {"place", "elevation_m", of_place<&Place::elevation_m>, "Height above sea level.", "m",
         Range{-500.0, 9000.0}},
        required({"place", "when", of_place<&Place::when>,
                  "When the shutter opens: it sets sun and moon."}),
    };
}

std::vector<Key> sky_keys() {
    return {
        {"sky", "horizontal_lx", of_sky<&SkyLight::horizontal_lx>,
         "Light of the sky on open level ground, if there is no [place].", "lx",
         Range{0.0, 200000.0}},
        {"sky", "temperature_k", of_sky<&SkyLight::temperature_k>, "Colour of that light.", "K",
         temperature},
        {"sky", "glow_bearing_deg", of_sky<&SkyLight::glow_bearing_deg>,
         "Bearing of the afterglow; an even sky without it.", "deg", bearing},
        {"sky", "night_mag_arcsec2", of_sky<&SkyLight::night_mag_arcsec2>,
         "With a [place]: how dark its zenith is with neither sun nor moon.", "mag/arcsec2",
         Range{14.0, 23.0}},
        {"sky", "cloud_share", of_sky<&SkyLight::cloud_share>,
         "With a [place]: share of the sky under cloud.", "", share},
        {"sky", "town.bearing_deg", of_town<&Town::bearing_deg>,
         "With a [place]: where a town lights the sky.", "deg", bearing},
        {"sky", "town.horizontal_lx", of_town<&Town::horizontal_lx>,
         "With a [place]: the town's light on open level ground.", "lx", Range{0.0, 10.0}},
        {"sky", "want_stops", of_sky<&SkyLight::want_stops>,
         "With a [place]: where dusk should bring the sky, from mid-grey.", "stops",
         Range{-10.0, 10.0}},
    };
}

std::vector<Key> air_keys() {
    return {
        {"air", "visibility_km", of_air<&Air::visibility_km>,
         "With a [place]: how far one sees there by day, which tells its haze.", "km",
         Range{1.0, 300.0}},
    };
}

std::vector<Key> ground_keys() {
    return {
        {"ground", "kind", of_ground<&Ground::kind>, "Level and smooth, or with relief."},
        {"ground", "reflectance", of_ground<&Ground::reflectance>,
         "Share of red, green and blue light that the ground sends back.", "", share},
        tied(rough_only, {"ground", "roughness_m", of_ground<&Ground::roughness_m>,
                          "Height of the relief, root mean square.", "m", Range{0.0, 1.0}}),
        tied(rough_only, {"ground", "far_hills_m", of_ground<&Ground::far_hills_m>,
                          "Height of the hills on the horizon, a few kilometres off.", "m",
                          Range{0.0, 3000.0}}),
        tied(rough_only, {"ground", "seed", of_ground<&Ground::seed>,
                          "Another number makes another relief.", "", Range{0.0, 1e6}}),
    };
}

std::vector<Key> subject_keys() {
    return {
        required(
            named({"subject", "name", of_subject<&Subject::name>, "What takes and aims call it."})),
        {"subject", "model", of_subject<&Subject::model>, "A built-in model; or give mesh."},
        path({"subject", "mesh", of_subject<&Subject::mesh>,
              "An OBJ file beside the scene file, in metres; or give model."}),
        {"subject", "position_m", of_subject<&Subject::position_m>,
         "Where it stands: east, north, and metres above the ground there.", "m", position},
        {"subject", "facing_deg", of_subject<&Subject::facing_deg>,
         "Bearing that its front looks towards.", "deg", bearing},
        {"subject", "scale", of_subject<&Subject::scale>, "Size as a multiple of the model's.", "",
         Range{0.001, 1000.0}},
        {"subject", "reflectance", of_subject<&Subject::reflectance>,
         "Mean share of light sent back; the materials' own without it.", "", share},
        {"subject", "present_s", of_subject<&Subject::present_s>,
         "From when to when it stands there, from the shutter's opening; always without it.", "s",
         within_exposure},
    };
}

std::vector<Key> lamp_keys() {
    return {
        required(named({"lamp", "name", of_lamp<&Lamp::name>, "What flights and takes call it."})),
        {"lamp", "flux_lm", of_lamp<&Lamp::flux_lm>, "All the light it sends, without its gel.",
         "lm", above(0.0, 1e6)},
        {"lamp", "beam_deg", of_lamp<&Lamp::beam_deg>,
         "Full width of the beam at half its peak; 360 is alike all round.", "deg",
         Range{1.0, 175.0, false, 360.0}},
        {"lamp", "temperature_k", of_lamp<&Lamp::temperature_k>,
         "Colour of its light, without its gel.", "K", temperature},
        {"lamp", "gel.shift_mired", of_gel<&Gel::shift_mired>,
         "How far the gel moves the colour; orange is positive.", "mired", Range{-1000.0, 1000.0}},
        {"lamp", "gel.transmission", of_gel<&Gel::transmission>,
         "Share of light that the gel passes.", "", above(0.0, 1.0)},
        {"lamp", "face_mm", of_lamp<&Lamp::face_mm>,
         "Width of the face that shines, which gives the trail its width.", "mm",
         above(0.0, 1000.0)},
        {"lamp", "spill", of_lamp<&Lamp::spill>,
         "Share of the light sent evenly all round, outside the beam as well.", "", share},
        naming("subject",
               {"lamp", "aim", of_lamp<&Lamp::aim>,
                "Where it points: a word, a subject's name, or a direction east, north, up.", "",
                position}),
        {"lamp", "position_m", of_lamp<&Lamp::position_m>,
         "Where it stands, if it is not carried: east, north, up.", "m", position},
        {"lamp", "lit_s", of_lamp<&Lamp::lit_s>,
         "From when to when it is switched on, from the shutter's opening; always without it.", "s",
         within_exposure},
        {"lamp", "pulse.per_minute", of_pulse<&Pulse::per_minute>,
         "How many flashes a beacon gives in a minute, instead of steady light.", "per min",
         above(0.0, 6000.0)},
        {"lamp", "pulse.on_s", of_pulse<&Pulse::on_s>, "How long a flash lasts.", "s",
         above(0.0, 3600.0)},
        {"lamp", "pulse.first_s", of_pulse<&Pulse::first_s>,
         "When the first flash begins, from the shutter's opening.", "s", within_exposure},
    };
}

std::vector<Key> flight_keys() {
    return {
        required(named({"flight", "name", of_flight<&Flight::name>, "What takes call it."})),
        {"flight", "shape", of_flight<&Flight::shape>,
         "A level circle, a straight line, an upright ring, or a circle that climbs."},
        tied(round_shapes, {"flight", "centre_m", of_flight<&Flight::centre_m>,
                            "Centre: east, north.", "m", position}),
        tied(round_shapes, {"flight", "height_m", of_flight<&Flight::height_m>,
                            "Height of a circle, of a helix's start, or of a ring's centre.", "m",
                            above(0.0, 5000.0)}),
        tied(round_shapes, {"flight", "radius_m", of_flight<&Flight::radius_m>, "Radius.", "m",
                            Range{0.01, 5000.0}}),
        tied(level_shapes, {"flight", "start_bearing_deg", of_flight<&Flight::start_bearing_deg>,
                            "Bearing of the start, from the centre.", "deg", bearing}),
        tied(ring_only,
             {"flight", "start_clock_deg", of_flight<&Flight::start_clock_deg>,
              "Start of a ring, clockwise from its top, seen from its face.", "deg", bearing}),
        tied(ring_only, {"flight", "facing_deg", of_flight<&Flight::facing_deg>,
                         "Bearing that a ring's face looks towards.", "deg", bearing}),
        tied(helix_only, {"flight", "rise_m", of_flight<&Flight::rise_m>,
                          "Climb of a helix over the whole flight.", "m", Range{-5000.0, 5000.0}}),
        tied(round_shapes, {"flight", "turns", of_flight<&Flight::turns>, "How many times round.",
                            "", Range{0.01, 1000.0}}),
        tied(round_shapes, {"flight", "clockwise", of_flight<&Flight::clockwise>,
                            "Sense of turning, seen from above or from the ring's face."}),
        required(tied(line_only, {"flight", "from_m", of_flight<&Flight::from_m>,
                                  "Start of a line: east, north, up.", "m", position})),
        required(tied(line_only, {"flight", "to_m", of_flight<&Flight::to_m>,
                                  "End of a line: east, north, up.", "m", position})),
        {"flight", "lap_s", of_flight<&Flight::lap_s>,
         "Time for one turn, or for the whole of a line; 15 s where no pace is given.", "s",
         Range{0.1, 3600.0}},
        {"flight", "speed_m_s", of_flight<&Flight::speed_m_s>, "Speed, instead of lap_s.", "m/s",
         Range{0.01, 100.0}},
        {"flight", "pace", of_flight<&Flight::pace>,
         "Instead of lap_s: the whole flight within one exposure."},
        {"flight", "limits.speed_m_s", of_limits<&SpeedLimits::speed_m_s>,
         "The fastest it flies; any speed without it.", "m/s", Range{0.01, 100.0}},
        {"flight", "limits.acceleration_m_s2", of_limits<&SpeedLimits::acceleration_m_s2>,
         "The most it gains, brakes and turns; the flight then begins and ends at rest.", "m/s2",
         Range{0.01, 100.0}},
        required(naming("lamp",
                        {"flight", "carries", of_flight<&Flight::carries>, "Lamps it carries."})),
    };
}

std::vector<Key> point_keys() {
    return {
        required(named({"point", "name", of_point<&Point::name>, "What readings call it."})),
        required({"point", "position_m", of_point<&Point::position_m>,
                  "A place to meter: east, north, up.", "m", position}),
    };
}

std::vector<Key> take_keys() {
    return {
        required(named({"take", "name", of_take<&Take::name>, "What the photograph calls it."})),
        naming("flight", {"take", "flights", of_take<&Take::flights>,
                          "Flights flown while the shutter is open."}),
        naming_any("lamp", {"take", "lamps", of_take<&Take::lamps>,
                            "Standing lamps that are lit; all of them without it."}),
        naming_any("subject", {"take", "subjects", of_take<&Take::subjects>,
                               "Subjects that are present; all of them without it."}),
        naming("lamp", {"take", "lamp_stops", of_take<&Take::lamp_stops>,
                        "How many stops stronger (+) or weaker (-) lamps burn, by name.", "stops",
                        Range{-20.0, 20.0}}),
        {"take", "shutter_s", of_take<&Take::shutter_s>, "Instead of the camera's.", "s", shutter},
        {"take", "f_number", of_take<&Take::f_number>, "Instead of the camera's.", "", f_number},
        {"take", "iso", of_take<&Take::iso>, "Instead of the camera's.", "", iso},
        {"take", "after_s", of_take<&Take::after_s>,
         "With a [place]: how long after its moment the shutter opens.", "s", Range{0.0, 86400.0}},
    };
}

std::vector<Key> photograph_keys() {
    return {
        {"photograph", "blend", of_photograph<&Photograph::blend>,
         "How takes become one picture: the brightest, the sum, or the mean at each pixel."},
        naming("take", {"photograph", "takes", of_photograph<&Photograph::takes>,
                        "Takes that make up the picture; every take without it."}),
        {"photograph", "noise_seed", of_photograph<&Photograph::noise_seed>,
         "Another number makes other noise of the same strength.", "", Range{0.0, 1e6}},
    };
}

std::vector<Key> make_table() {
    std::vector<Key> table;
    for (const auto& keys :
         {top_keys(), place_keys(), sky_keys(), air_keys(), ground_keys(), camera_keys(),
          subject_keys(), lamp_keys(), flight_keys(), point_keys(), take_keys(), photograph_keys()})
        table.insert(table.end(), keys.begin(), keys.end());
    return table;
}

}  // namespace

const std::vector<Key>& key_table() {
    static const std::vector<Key> table = make_table();
    return table;
}

const std::vector<TableKind>& table_kinds() {
    static const std::vector<TableKind> kinds{
        {"place", nullptr},
        {"sky", nullptr},
        {"air", nullptr},
        {"ground", nullptr},
        {"camera", nullptr, 1, Need::required},
        {"subject", append_to<&Shoot::subjects>, 100},
        {"lamp", append_to<&Shoot::lamps>, 100},
        {"flight", append_to<&Shoot::flights>, 200},
        {"point", append_to<&Shoot::points>, 1000},
        {"take", append_to<&Shoot::takes>, 200, Need::required},
        {"photograph", nullptr},
    };
    return kinds;
}

}  // namespace lampflight
