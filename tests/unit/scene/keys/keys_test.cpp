// The table of keys: what it says of itself, and that every key in it is obeyed.
#include "scene/keys/keys.h"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>

#include <fmt/format.h>

#include "scene/keys/key_table.h"
#include "scene/reader/read_tables.h"
#include "tests/full_scene.h"

using namespace lampflight;

namespace {

// The keys as scene files spell them. One that is renamed or forgotten breaks people's files.
const std::vector<std::string> spelled_keys{".title",
                                            "place.latitude_deg",
                                            "place.longitude_deg",
                                            "place.elevation_m",
                                            "place.when",
                                            "place.declination_deg",
                                            "place.ceiling_m",
                                            "sky.horizontal_lx",
                                            "sky.temperature_k",
                                            "sky.glow_bearing_deg",
                                            "sky.night_mag_arcsec2",
                                            "sky.cloud_share",
                                            "sky.town.bearing_deg",
                                            "sky.town.horizontal_lx",
                                            "sky.want_stops",
                                            "air.visibility_km",
                                            "air.wind_m_s",
                                            "air.wind_from_deg",
                                            "air.gust_m_s",
                                            "air.gust_s",
                                            "ground.kind",
                                            "ground.reflectance",
                                            "ground.roughness_m",
                                            "ground.far_hills_m",
                                            "ground.seed",
                                            "camera.sensor_mm",
                                            "camera.pixels",
                                            "camera.position_m",
                                            "camera.look_at_m",
                                            "camera.bearing_deg",
                                            "camera.tilt_deg",
                                            "camera.roll_deg",
                                            "camera.focal_mm",
                                            "camera.f_number",
                                            "camera.iso",
                                            "camera.shutter_s",
                                            "camera.focus_m",
                                            "camera.dark_frame",
                                            "camera.white_balance_k",
                                            "camera.white_balance_duv",
                                            "camera.lens.transmission",
                                            "camera.lens.blades",
                                            "camera.lens.open_f_number",
                                            "camera.lens.distortion",
                                            "camera.lens.corner_stops",
                                            "camera.lens.glare_share",
                                            "camera.lens.glare_falloff",
                                            "camera.sensor.quantum_efficiency",
                                            "camera.sensor.full_well_e",
                                            "camera.sensor.read_noise_e",
                                            "camera.sensor.dark_current_e_s",
                                            "subject.name",
                                            "subject.model",
                                            "subject.mesh",
                                            "subject.crease_deg",
                                            "subject.position_m",
                                            "subject.facing_deg",
                                            "subject.scale",
                                            "subject.reflectance",
                                            "subject.takes_part",
                                            "subject.present_s",
                                            "lamp.name",
                                            "lamp.flux_lm",
                                            "lamp.beam_deg",
                                            "lamp.temperature_k",
                                            "lamp.dominant_nm",
                                            "lamp.purity",
                                            "lamp.chromaticity_xy",
                                            "lamp.gel.shift_mired",
                                            "lamp.gel.transmission",
                                            "lamp.face_mm",
                                            "lamp.spill",
                                            "lamp.aim",
                                            "lamp.position_m",
                                            "lamp.offset_m",
                                            "lamp.hang_m",
                                            "lamp.mount",
                                            "lamp.lit_s",
                                            "lamp.pulse.per_minute",
                                            "lamp.pulse.on_s",
                                            "lamp.pulse.first_s",
                                            "drone.name",
                                            "drone.home_m",
                                            "drone.mass_kg",
                                            "drone.lamp_mass_kg",
                                            "drone.payload_kg",
                                            "drone.drag_area_m2",
                                            "drone.endurance_min",
                                            "drone.loaded_endurance_min",
                                            "drone.reserve",
                                            "drone.transit_m_s",
                                            "drone.reset_s",
                                            "drone.top_wind_m_s",
                                            "drone.return_height_m",
                                            "drone.limits.speed_m_s",
                                            "drone.limits.acceleration_m_s2",
                                            "drone.limits.turning_m_s2",
                                            "drone.limits.climb_m_s",
                                            "drone.limits.descent_m_s",
                                            "drone.limits.yaw_deg_s",
                                            "drone.limits.air_m_s",
                                            "drone.own_lights",
                                            "drone.lights.left",
                                            "drone.lights.right",
                                            "drone.lights.behind",
                                            "drone.lights.flux_lm",
                                            "drone.lights.arm_m",
                                            "drone.beacon.per_minute",
                                            "drone.beacon.on_s",
                                            "drone.beacon.first_s",
                                            "drone.beacon.flux_lm",
                                            "drone.beacon.colour",
                                            "flight.name",
                                            "flight.shape",
                                            "flight.centre_m",
                                            "flight.height_m",
                                            "flight.radius_m",
                                            "flight.end_radius_m",
                                            "flight.inner_radius_m",
                                            "flight.tips",
                                            "flight.start_bearing_deg",
                                            "flight.start_clock_deg",
                                            "flight.facing_deg",
                                            "flight.tilt_deg",
                                            "flight.rise_m",
                                            "flight.turns",
                                            "flight.clockwise",
                                            "flight.length_m",
                                            "flight.width_m",
                                            "flight.lane_m",
                                            "flight.bearing_deg",
                                            "flight.from_m",
                                            "flight.to_m",
                                            "flight.waypoints",
                                            "flight.track",
                                            "flight.figure",
                                            "flight.mirrored",
                                            "flight.shortest_way",
                                            "flight.corner_radius_m",
                                            "flight.lap_s",
                                            "flight.speed_m_s",
                                            "flight.pace",
                                            "flight.limits.speed_m_s",
                                            "flight.limits.acceleration_m_s2",
                                            "flight.limits.turning_m_s2",
                                            "flight.limits.climb_m_s",
                                            "flight.limits.descent_m_s",
                                            "flight.limits.yaw_deg_s",
                                            "flight.limits.air_m_s",
                                            "flight.run_up",
                                            "flight.nose",
                                            "flight.nose_deg",
                                            "flight.start_s",
                                            "flight.after",
                                            "flight.drone",
                                            "flight.wander_m",
                                            "flight.wander_s",
                                            "flight.wander_seed",
                                            "flight.gap_m",
                                            "flight.lit_between",
                                            "flight.carries",
                                            "waypoint.flight",
                                            "waypoint.position_m",
                                            "waypoint.hold_s",
                                            "waypoint.corner_radius_m",
                                            "waypoint.speed_m_s",
                                            "waypoint.lit",
                                            "waypoint.aim",
                                            "stretch.flight",
                                            "stretch.part",
                                            "stretch.lit",
                                            "stretch.aim",
                                            "stretch.lamps",
                                            "point.name",
                                            "point.position_m",
                                            "take.name",
                                            "take.flights",
                                            "take.lamps",
                                            "take.subjects",
                                            "take.lamp_stops",
                                            "take.shutter_s",
                                            "take.f_number",
                                            "take.iso",
                                            "take.after_s",
                                            "photograph.blend",
                                            "photograph.takes",
                                            "photograph.noise_seed"};

std::string dotted(const KeyInfo& info) {
    return info.table + '.' + info.name;
}

/// A value that differs from the default, as it would be written.
struct Sample {
    const Key& key;

    double number(double avoided) const {
        const double middle = 0.5 * (key.range.low + key.range.high);
        return middle != avoided ? middle : 0.5 * (middle + key.range.high);
    }
    std::string list(int count) const {
        std::string text;
        for (int i = 0; i < count; ++i)
            text += fmt::format("{}{}", i > 0 ? ", " : "",
                                std::floor(number(0.0)) + (key.range.high > 1.0 ? i : 0.25));
        return '[' + text + ']';
    }

    std::string operator()(const double* value) const { return fmt::format("{}", number(*value)); }
    std::string operator()(const std::optional<double>*) const {
        return fmt::format("{}", number(0.0));
    }
    std::string operator()(const int*) const { return fmt::format("{}", std::floor(number(0.0))); }
    std::string operator()(const bool* value) const { return *value ? "false" : "true"; }
    std::string operator()(const std::string*) const { return "\"other\""; }
    std::string operator()(const std::optional<std::string>*) const { return key.text == TextRule::name ? "\"other\"" : "\"other.obj\"";
    }
    std::string operator()(const Vec2*) const { return list(2); }
    std::string operator()(const Vec3*) const { return list(3); }
    std::string operator()(const glm::ivec2*) const { return list(2); }
    std::string operator()(const std::optional<Vec2>*) const { return list(2); }
    std::string operator()(const std::optional<Vec3>*) const { return list(3); }
    std::string operator()(const std::optional<TimeWindows>*) const { return list(2); }
    std::string operator()(const Moment*) const { return "2026-11-24T17:35:00+01:00"; }
    std::string operator()(const Aim*) const { return "\"ahead\""; }
    std::string operator()(const std::vector<std::string>*) const { return "[\"other\"]"; }
    std::string operator()(const std::optional<std::vector<std::string>>*) const {
        return "[\"other\"]";
    }
    std::string operator()(const std::map<std::string, double>*) const { return "{ other = 1.5 }"; }
    template <class Choice>
    std::string operator()(const Choice* value) const {
        const std::string now = word_of(Field(const_cast<Choice*>(value)));
        for (const std::string& word : choices_of(Field(const_cast<Choice*>(value))))
            if (word != now) return '"' + word + '"';
        return "";
    }
};

/// Whether two fields of the same key hold the same.
bool same(const Field& one, const Field& other) {
    return std::visit(
        [&](const auto* value) {
            using Value = std::remove_cvref_t<decltype(*value)>;
            const Value& second = *std::get<Value*>(other);
            if constexpr (std::is_same_v<Value, Aim>)
                return value->index() == second.index() &&
                       std::get<AimWord>(*value) == std::get<AimWord>(second);
            else
                return *value == second;
        },
        one);
}

/// A file that holds nothing but one key, and the choice it is tied to.
std::string lone_key(const Key& key, const std::string& value) {
    const TableKind* kind = find_table_kind(key.table);
    std::string text = kind ? bracketed(key.table) + '\n' : "";
    if (!key.tie.choice.empty())
        text += fmt::format("{} = \"{}\"\n", key.tie.choice, key.tie.words.front());
    return text + fmt::format("{} = {}\n", key.name, value);
}

/// Problems with that key alone: others are missing in such a file.
Reading read_lone_key(const Key& key, const std::string& value) {
    const std::string text = lone_key(key, value);
    Checked<SceneTable> parsed = read_scene_text(text, "key.toml");
    REQUIRE_MESSAGE(std::holds_alternative<SceneTable>(parsed), text);
    Reading reading = read_tables(std::get<SceneTable>(parsed), "key.toml");
    std::erase_if(reading.problems, [](const Problem& problem) {
        return problem.text.find(" has no ") != std::string::npos;
    });
    return reading;
}

Shoot shoot_of_defaults() {
    Shoot shoot;
    for (const TableKind& kind : table_kinds())
        if (kind.is_list()) kind.append(shoot);
    return shoot;
}

bool takes_numbers(const Field& field) {
    return std::holds_alternative<double*>(field) || std::holds_alternative<int*>(field) ||
           std::holds_alternative<std::optional<double>*>(field);
}

}  // namespace

TEST_CASE("The reference covers exactly the keys that scene files know") {
    std::vector<std::string> listed;
    for (const KeyInfo& info : scene_keys()) listed.push_back(dotted(info));
    CHECK(listed == spelled_keys);
}

TEST_CASE("Every key has a kind and a sentence, and its unit is the one its name ends in") {
    for (const KeyInfo& info : scene_keys()) {
        CAPTURE(dotted(info));
        CHECK_FALSE(info.kind.empty());
        CHECK_FALSE(info.fallback.empty());
        REQUIRE_FALSE(info.meaning.empty());
        CHECK(info.meaning.back() == '.');
        for (const auto& [ending, unit] : {std::pair{"_m_s", "m/s"},
                                           {"_m_s2", "m/s2"},
                                           {"_e_s", "e/s"},
                                           {"_mm", "mm"},
                                           {"_deg", "deg"},
                                           {"_lm", "lm"},
                                           {"_lx", "lx"},
                                           {"_k", "K"},
                                           {"_mired", "mired"}})
            if (info.name.ends_with(ending)) CHECK(info.unit == unit);
        if (info.name.ends_with("_m")) CHECK(info.unit == "m");
        if (info.name.ends_with("_s") && info.unit.find('/') == std::string::npos)
            CHECK(info.unit == "s");
    }
}

TEST_CASE("Every key is obeyed: another value changes the shoot and nothing is said") {
    Shoot defaults = shoot_of_defaults();
    for (const Key& key : key_table()) {
        const std::string value = std::visit(Sample{key}, key.field(defaults));
        const std::string text = lone_key(key, value);
        CAPTURE(text);
        Reading reading = read_lone_key(key, value);
        for (const Problem& problem : reading.problems) FAIL_CHECK(to_string(problem));
        CHECK_FALSE(same(key.field(reading.shoot), key.field(defaults)));
    }
}

TEST_CASE("A default reads back as what it stands for") {
    Shoot defaults = shoot_of_defaults();
    for (const KeyInfo& info : scene_keys()) {
        if (info.fallback == "none" || info.fallback == "required") continue;
        const Key& key = *find_key(info.table, info.name);
        CAPTURE(lone_key(key, info.fallback));
        Reading reading = read_lone_key(key, info.fallback);
        for (const Problem& problem : reading.problems) FAIL_CHECK(to_string(problem));
        if (key.name != "shape" && key.name != "kind")
            CHECK(same(key.field(reading.shoot), key.field(defaults)));
    }
}

TEST_CASE("Every number has two bounds; they are kept, and beyond them the bounds are named") {
    Shoot defaults = shoot_of_defaults();
    const double infinity = std::numeric_limits<double>::infinity();
    for (const Key& key : key_table()) {
        if (!takes_numbers(key.field(defaults))) continue;
        CAPTURE(key.name);
        REQUIRE(std::isfinite(key.range.low));
        REQUIRE(std::isfinite(key.range.high));
        const auto is_taken = [&](double number) {
            const Reading reading = read_lone_key(key, fmt::format("{}", number));
            for (const Problem& problem : reading.problems)
                CHECK(problem.text.find(range_text(key)) != std::string::npos);
            return reading.problems.empty();
        };
        CHECK(is_taken(key.range.low) == !key.range.above_low);
        CHECK(is_taken(key.range.high));
        if (std::holds_alternative<int*>(key.field(defaults))) {
            CHECK_FALSE(is_taken(key.range.low - 1.0));
            CHECK_FALSE(is_taken(key.range.high + 1.0));
            continue;
        }
        CHECK_FALSE(is_taken(std::nextafter(key.range.low, -infinity)));
        CHECK_FALSE(is_taken(std::nextafter(key.range.high, infinity)));
        CHECK_FALSE(is_taken(std::numeric_limits<double>::quiet_NaN()));
        CHECK_FALSE(is_taken(infinity));
        CHECK_FALSE(is_taken(-infinity));
    }
}

TEST_CASE(
    "Whole numbers will do where numbers are wanted, and the other way round if they are whole") {
    CHECK(read_lone_key(*find_key("camera", "focal_mm"), "20").shoot.camera.focal_mm == 20.0);
    CHECK(read_lone_key(*find_key("ground", "seed"), "4.0").shoot.ground.seed == 4);
    CHECK_FALSE(read_lone_key(*find_key("ground", "seed"), "4.5").problems.empty());
}
