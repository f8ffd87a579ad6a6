#include "tests/cautions/rows.h"

namespace lampflight::testing {
namespace {

constexpr CautionLevel note = CautionLevel::note;
constexpr CautionLevel care = CautionLevel::care;
constexpr CautionLevel danger = CautionLevel::danger;

/// With a [place] instead of the stated sky.
Changes at(double latitude_deg, double longitude_deg, const std::string& when) {
    return {"sky.horizontal_lx=", "place.latitude_deg=" + std::to_string(latitude_deg),
            "place.longitude_deg=" + std::to_string(longitude_deg), "place.when=" + when};
}

const Changes night = at(45.0, 15.0, "2026-06-20T23:30:00+01:00");
const Changes noon = at(45.0, 15.0, "2026-06-20T12:00:00+01:00");
const Changes moonlight = at(45.0, 6.0, "2026-11-24T19:30:00+01:00");  // full, low in the east

/// Those changes and more; of a key that is told twice the later counts.
Changes with(Changes changes, const Changes& more) {
    changes.insert(changes.end(), more.begin(), more.end());
    return changes;
}

// clang-format off
const std::vector<CautionRow> people_and_things{
    // People: 5 m, over their heads, 30 m from those who take no part (UAS.OPEN.030 of Regulation
    // (EU) 2019/947, from memory).
    {"people", danger, "goes through \"walker\"", {"subject.walker.position_m=[0, -5, 8]"}, {"subject.walker.position_m=[0, -4.5, 8]"}},
    {"people", danger, "passes within 4.0 m of \"walker\"", {"flight.halo.height_m=5"}, {"flight.halo.height_m=7"}},
    {"people", danger, "\"walker\", who takes no part", {"subject.walker.takes_part=false", "subject.walker.position_m=[34, 0, 0]"}, {"subject.walker.takes_part=false", "subject.walker.position_m=[36, 0, 0]"}},
    {"people", danger, "goes through the camera", {"flight.halo.centre_m=[0, -15]", "flight.halo.height_m=1.4"}, {"flight.halo.centre_m=[0, -14]", "flight.halo.height_m=1.4"}},
    {"people", danger, "of the camera and whoever stands beside it", {"flight.halo.centre_m=[0, -13]", "flight.halo.height_m=3"}, {"flight.halo.centre_m=[0, -9]", "flight.halo.height_m=3"}},
    {"people", danger, "passes over \"walker\"", {"subject.walker.position_m=[5, 0, 0]"}, {"subject.walker.position_m=[2.6, 0, 0]"}},
    {"people", danger, "passes over the camera", {"flight.halo.centre_m=[0, -15]"}, {"flight.halo.centre_m=[0, -12]"}},
    {"people", care, "someone stands in the middle", {"flight.halo.radius_m=4.9"}},
    {"subject", danger, "goes through \"stone\"", {"subject.stone.position_m=[0, -5, 8]"}, {"subject.stone.position_m=[0, -3.5, 8]"}},
    {"subject", care, "passes within 1.5 m of \"stone\"", {"subject.stone.position_m=[2.4, 0, 8]"}, {"subject.stone.position_m=[1.5, 0, 8]"}},
    {"flight", care, "goes round \"stone\" with a radius of 4.9 m", {"flight.halo.radius_m=4.9", "take.one.subjects=[\"stone\"]"}, {"take.one.subjects=[\"stone\"]"}},
    {"drones", danger, "come within 2.6 m of each other", {"flight.other.start_bearing_deg=150"}, {"flight.other.start_bearing_deg=118"}},
    // With straying: three times the rms.
    {"people", danger, "if it strays by 1.5 m", {"flight.halo.height_m=7", "flight.halo.wander_m=0.5"}, {"flight.halo.wander_m=0.5"}},
    {"drones", danger, "if it strays by 6.0 m", {"flight.halo.wander_m=1", "flight.other.wander_m=1"}, {"flight.halo.wander_m=0.5", "flight.other.wander_m=0.5"}},
    {"height", danger, "and may stray by", {"flight.halo.height_m=2.2", "flight.halo.wander_m=1.5"}, {"flight.halo.height_m=2.3", "flight.halo.wander_m=1.5"}},
};

const std::vector<CautionRow> heights_and_ways{
    // 120 m above ground: Regulation (EU) 2019/947, UAS.OPEN.010; 14 CFR 107.51 has 400 ft.
    {"height", danger, "climbs to 121 m. Many places set the ceiling at about 120 m", {"flight.halo.height_m=121"}, {"flight.halo.height_m=119"}},
    {"height", danger, "The ceiling stated for this place is 60 m", with(night, {"place.ceiling_m=60", "flight.halo.height_m=61"}), with(night, {"place.ceiling_m=60", "flight.halo.height_m=59"})},
    {"height", danger, "goes into the ground", {"lamp.warm.hang_m=9.1"}, {"lamp.warm.hang_m=8.9"}},
    {"height", care, "at the height of heads", {"flight.halo.height_m=1.9"}, {"flight.halo.height_m=2.1"}},
    {"return", care, "passes \"stone\", whose top is 2.5 m below that", {"flight.halo.height_m=6", "drone.first.return_height_m=5"}, {"flight.halo.height_m=6", "drone.first.return_height_m=8"}},
    {"return", danger, "climbs to 121 m above ground", {"drone.first.return_height_m=121"}, {"drone.first.return_height_m=119"}},
    {"sight", care, "m from the camera", {"flight.halo.centre_m=[0, 490]"}, {"flight.halo.centre_m=[0, 470]"}},
    {"speed", danger, "no drone that carries lamps flies so", {"flight.halo.lap_s=1.2"}, {"flight.halo.lap_s=3.2"}},
    {"speed", care, "few drones that carry lamps fly so fast", {"flight.halo.radius_m=50"}, {"flight.halo.radius_m=47"}},
    {"speed", care, "may not hold that line", {"flight.halo.lap_s=8"}, {"flight.halo.lap_s=8.2"}},
};

const std::vector<CautionRow> loads_and_lamps{
    {"load", danger, "is rated for 0.15 kg", {"drone.first.payload_kg=0.15"}, {"drone.first.payload_kg=0.2"}},
    {"load", care, "nearly all of the 0.21 kg", {"drone.first.payload_kg=0.21"}, {"drone.first.payload_kg=0.23"}},
    {"load", care, "25 % of its own mass", {"drone.first.lamp_mass_kg=0.3"}, {"drone.first.lamp_mass_kg=0.24"}},
    {"load", note, "tells of no rated payload", {"drone.first.payload_kg="}},
    {"load", care, "sit 0.40 m out from the drone's middle", {"lamp.warm.offset_m=[0.4, 0, 0]"}, {"lamp.warm.offset_m=[0.2, 0.1, 0.4]"}},
    {"heat", care, "behind a gel", {"lamp.warm.flux_lm=600", "lamp.warm.gel.transmission=0.7"}, {"lamp.warm.gel.transmission=0.7"}},
    {"sensing", care, "\"warm\" shines down from the drone", {"lamp.warm.aim=\"down\""}},
    {"sensing", care, "\"warm\" hangs below the drone", {"lamp.warm.hang_m=2"}},
    {"sensing", care, "\"warm\" sits under the drone", {"lamp.warm.offset_m=[0, 0, -0.1]"}, {"lamp.warm.offset_m=[0, 0, 0.1]"}},
    // 4 pi 10000 lm bare are 10000 cd; eyes 1.63 m up are 7.9 m off at the nearest.
    {"eyes", danger, "into the eyes of \"walker\"", {"lamp.warm.flux_lm=125664", "lamp.warm.beam_deg=360"}, {"lamp.warm.flux_lm=62832", "lamp.warm.beam_deg=360"}},
    // m = ln 0.5 / ln cos 15 deg = 20, so 2000 lm have some 6500 cd on their axis.
    {"glare", care, "level or upwards", {"lamp.warm.flux_lm=2000", "lamp.warm.beam_deg=30"}, {"lamp.warm.flux_lm=2000", "lamp.warm.beam_deg=30", "lamp.warm.aim=\"down\""}},
    // More than three a second: WCAG 2.1, success criterion 2.3.1, from memory.
    {"flashes", care, "photosensitive epilepsy", {"lamp.warm.pulse.per_minute=240", "lamp.warm.pulse.on_s=0.05"}, {"lamp.warm.pulse.per_minute=120", "lamp.warm.pulse.on_s=0.05"}},
    {"lamp", care, "is carried by no flight", {"lamp.warm.position_m="}, {}, "grounded", "grounded"},
    {"flight", note, "is flown in no take", {"take.one.flights=[\"halo\"]"}},
    {"flight", note, "flies no flight", {"flight.other.drone=\"first\"", "take.one.flights=[\"halo\"]"}, {"take.one.flights=[\"halo\"]"}},
};

const std::vector<CautionRow> pictures{
    {"frame", care, "lies wholly behind the camera", {"camera.look_at_m=[0, -40, 1.4]", "lamp.warm.flux_lm=0.01", "lamp.cool.flux_lm=0.01"}},
    {"frame", note, "draws no trail; it lights \"stone\", \"walker\" and the ground", {"flight.halo.centre_m=[40, -10]", "lamp.warm.aim=\"walker\"", "lamp.warm.flux_lm=3000", "lamp.warm.beam_deg=10", "lamp.warm.spill=0"}},
    {"frame", care, "Step back, aim anew or take a wider lens", {"flight.halo.radius_m=17", "flight.halo.lap_s=20"}},
    {"frame", note, "its lamps draw no trail there", {"flight.halo.radius_m=16", "lamp.warm.aim=[0, 1, 0]", "lamp.warm.spill=0", "lamp.warm.beam_deg=20", "camera.position_m=[0, -26, 1.4]", "camera.focal_mm=24"}},
    {"lap", care, "when the shutter has closed", {"flight.halo.start_s=21"}, {"flight.halo.start_s=19"}},
    {"lap", note, "the lamps are taken as dark", {"camera.shutter_s=30"}},
    {"lap", care, "a gap of 90 degrees", {"camera.shutter_s=15"}},
    {"lap", care, "its limits do not let it fly", {"flight.halo.lap_s=10", "flight.other.shape=\"line\"", "flight.other.from_m=[0, -5, 9]", "flight.other.to_m=[20, -5, 9]", "flight.other.height_m=", "flight.other.radius_m=", "flight.other.start_bearing_deg=", "flight.other.lap_s=", "flight.other.drone=", "flight.other.after=\"halo\"", "flight.other.pace=\"shutter\"", "flight.other.limits.acceleration_m_s2=0.5"}},
    {"lap", care, "the rest is not in the picture", {"flight.halo.turns=2"}},
    {"focus", care, "is out of focus at a depth", {"camera.focal_mm=35", "camera.f_number=2.8", "camera.focus_m=2"}, {"camera.focal_mm=35", "camera.f_number=2.8"}},
    {"lens", care, "\"warm\" is in the lens", {"flight.halo.centre_m=[0, -15]", "flight.halo.height_m=1.4", "camera.position_m=[0, -20, 1.4]"}, {"flight.halo.centre_m=[0, -14]", "flight.halo.height_m=1.4", "camera.position_m=[0, -20, 1.4]"}},
    {"exposure", care, "of the frame burns out", {"sky.horizontal_lx=20"}, {"sky.horizontal_lx=0.2"}},
    {"time", care, "\"warm\" is lit from 21 to 30 s", {"lamp.warm.lit_s=[[0, 5], [21, 30]]"}, {"lamp.warm.lit_s=[[0, 5]]"}},
    {"time", care, "\"walker\" stands there from 21 to 30 s", {"subject.walker.present_s=[21, 30]"}, {"subject.walker.present_s=[12, 19]"}},
    {"time", care, "stays dark in take", {"lamp.warm.lit_s=[[21, 30]]"}, {"lamp.warm.lit_s=[[11, 30]]"}},
    {"time", care, "longer than a loaded drone flies", {"camera.shutter_s=1000", "flight.halo.lap_s=1000"}, {"camera.shutter_s=290", "flight.halo.lap_s=290"}},
    {"time", care, "a good part of what a battery holds", {"camera.shutter_s=400", "flight.halo.lap_s=400"}, {"camera.shutter_s=290", "flight.halo.lap_s=290"}},
    {"time", note, "its flights 20 s or less", {"camera.shutter_s=400"}, {"camera.shutter_s=290"}},
    {"shadow", care, "the moon stands", with(moonlight, {"camera.focal_mm=14", "camera.look_at_m=[-20, -25, 0]"}), with(moonlight, {"camera.focal_mm=14", "camera.look_at_m=[20, -15, 0]"})},
    {"daylight", care, "The sun stands", noon, night},
    {"place", care, "Look at [place] again", at(45.0, 7.0, "2026-06-20T19:30:00+03:00"), at(7.0, 45.0, "2026-06-20T19:30:00+03:00")},
    {"place", note, "look at both again", at(45.0, 15.0, "2026-06-20T23:30:00+08:00"), night},
};

const std::vector<CautionRow> things{
    {"camera", care, "stands inside \"stone\"", {"subject.stone.position_m=[0, -20, 0]"}, {"subject.stone.position_m=[0, -18, 0]"}},
    {"camera", care, "a hand's breadth from \"stone\"", {"subject.stone.position_m=[1.05, -20, 0]"}, {"subject.stone.position_m=[1.2, -20, 0]"}},
    {"camera", care, "stands where the tripod", {"subject.stone.position_m=[0, -20, -1.3]"}, {"subject.stone.position_m=[0, -18, -1.3]"}},
    {"camera", care, "above the ground", {"camera.position_m=[0, -20, 0.05]"}, {"camera.position_m=[0, -20, 0.2]"}},
    {"camera", care, "in a stone of the rough ground", {"ground.kind=\"rough\"", "camera.position_m=[0.75, -20, 0.15]"}, {"ground.kind=\"rough\"", "camera.position_m=[0.75, -20, 0.45]"}},
    {"subject", care, "\"stone\" is 250 m long", {"subject.stone.scale=100", "subject.stone.position_m=[0, 800, 0]"}},
    {"subject", care, "\"stone\" is only 25.0 mm long", {"subject.stone.scale=0.01"}},
    {"subject", note, "is open: 4 of its edges", {"subject.stone.mesh=\"open.obj\""}},
    {"subject", care, "faces that look the other way", {"subject.stone.mesh=\"twisted.obj\""}},
    {"subject", care, "is inside out", {"subject.stone.mesh=\"inside_out.obj\""}},
    {"subject", note, "materials in \"not_there.mtl\"", {"subject.stone.mesh=\"no_material.obj\""}},
};

const std::vector<CautionRow> batteries_winds_and_lights{
    {"battery", care, "add a [[drone]] with", {}, {}, "no_drone"},
    {"battery", care, "it names none of the drones", {"flight.halo.drone="}},
    {"battery", danger, "is empty before it is home", {"drone.first.loaded_endurance_min=0.5", "drone.first.transit_m_s=2"}, {"drone.first.loaded_endurance_min=0.5"}},
    {"battery", danger, "runs into its reserve after", {"drone.first.loaded_endurance_min=0.5"}, {"drone.first.loaded_endurance_min=0.7"}},
    {"battery", care, "need 2 batteries", {"drone.first.loaded_endurance_min=1.1"}, {}, "two_takes", "two_takes"},
    {"battery", care, "The reserve of drone \"first\" is 19 %", {"drone.first.reserve=0.19"}, {"drone.first.reserve=0.2"}},
    {"battery", care, "gives is unknown. In its", {"drone.first.loaded_endurance_min=", "drone.first.endurance_min="}},
    {"battery", note, "is worked out from its masses", {"drone.first.loaded_endurance_min="}},
    {"wind", note, "nothing says what wind its drone is made for", {"air.wind_m_s=3", "drone.first.top_wind_m_s="}, {"air.wind_m_s=3"}},
    {"wind", danger, "is rated for 10.0 m/s", {"air.wind_m_s=10.1"}, {"air.wind_m_s=9.9"}},
    // From rest to rest at 4 m/s2 the lap of 31.4 m in 20 s is flown at 1.6 m/s: v / 4 + 31.4 / v = 20.
    {"wind", care, "gusts carry it off its line", {"air.wind_m_s=2", "air.gust_m_s=4", "flight.halo.limits.acceleration_m_s2=4", "flight.halo.limits.air_m_s=5.5"}, {"air.wind_m_s=2", "air.gust_m_s=4", "flight.halo.limits.acceleration_m_s2=4", "flight.halo.limits.air_m_s=5.7"}},
    {"wind", care, "over the steady wind are more than half", {"air.wind_m_s=1", "air.gust_m_s=6.1", "flight.halo.limits.acceleration_m_s2=4", "flight.halo.limits.air_m_s=10"}, {"air.wind_m_s=1", "air.gust_m_s=5.9", "flight.halo.limits.acceleration_m_s2=4", "flight.halo.limits.air_m_s=10"}},
    {"lights", care, "No light of its own shows on drone \"first\"", {"drone.first.beacon="}},
    {"lights", note, "draw streaks of their own", {"drone.first.own_lights=\"showing\""}},
    {"lights", care, "asks for 3 statute miles", {"drone.first.beacon.flux_lm=5"}},
    {"lights", note, "flashes 39 times a minute", {"drone.first.beacon.per_minute=39"}, {"drone.first.beacon.per_minute=40"}},
    {"lights", note, "asks for a green flashing light", {"drone.first.beacon.colour=\"white\""}},
};

// What holds for every flight: not where nothing flies, or by day.
const std::vector<CautionRow> standing{
    {"night", care, "Night flight near people", {}, noon},
    {"rules", care, "Flight near people", noon, night},
    {"airspace", care, "Ask the aviation authority", {}, {}, "calm", "grounded"},
    {"sight", care, "sensing is blind in the dark", {}, noon},
    {"sight", care, "Set its return height above lines", {"drone.first.return_height_m="}},
    {"load", care, "tie each one on twice", {}, {}, "calm", "grounded"},
    {"load", care, "A strip that hangs", {"lamp.warm.hang_m=2"}},
    {"battery", care, "Land on the reserve", {}, {}, "calm", "grounded"},
    {"eyes", note, "Nobody looks into a lamp", {}, {}, "calm", "grounded"},
};
// clang-format on

}  // namespace

const std::vector<CautionRow>& caution_rows() {
    static const std::vector<CautionRow> rows = [] {
        std::vector<CautionRow> all;
        for (const auto* part : {&people_and_things, &heights_and_ways, &loads_and_lamps, &pictures,
                                 &things, &batteries_winds_and_lights, &standing})
            all.insert(all.end(), part->begin(), part->end());
        return all;
    }();
    return rows;
}

}  // namespace lampflight::testing
