#include "scene/reader/check_shoot.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <set>

#include <fmt/format.h>

#include "scene/basics/colour.h"
#include "scene/basics/wording.h"
#include "scene/ground/ground.h"
#include "scene/keys/key_table.h"
#include "scene/reader/check_names.h"

namespace lampflight {
namespace {

constexpr double most_megapixels = 200.0;
constexpr double shortest_line_m = 0.01;

bool contains(const std::vector<std::string>& names, const std::string& name) {
    return std::find(names.begin(), names.end(), name) != names.end();
}

class Checker {
public:
    explicit Checker(const Reading& reading)
        : shoot_(reading.shoot), map_(reading.map), problems_(check_names(reading)) {}

    std::vector<Problem> check() {
        check_place();
        check_camera();
        for (std::size_t i = 0; i < shoot_.subjects.size(); ++i) check_subject({"subject", i});
        for (std::size_t i = 0; i < shoot_.lamps.size(); ++i) check_lamp({"lamp", i});
        for (std::size_t i = 0; i < shoot_.flights.size(); ++i) check_flight({"flight", i});
        const bool has_light = map_.is_broken("flight") || map_.is_broken("lamp") ||
                               !shoot_.flights.empty() || has_standing_lamp();
        if (!has_light)
            add(map_.file,
                "nothing gives light; allowed is a [[flight]] that carries a [[lamp]], or a "
                "[[lamp]] with position_m");
        for (std::size_t i = 0; i < shoot_.takes.size(); ++i) check_take({"take", i}, has_light);
        return std::move(problems_);
    }

private:
    void add(const TextPlace& place, std::string text) {
        problems_.push_back(problem_at(place, std::move(text)));
    }

    std::string in(TableRef ref, std::string_view key) const {
        return fmt::format("{} in {}", in_quotes(key), map_.label(ref));
    }

    bool both(TableRef ref, std::string_view one, std::string_view other) const {
        return map_.has(ref, one) && map_.has(ref, other);
    }

    bool all_sound(TableRef ref, std::initializer_list<std::string_view> keys) const {
        return std::all_of(keys.begin(), keys.end(),
                           [&](std::string_view key) { return map_.is_sound(ref, key); });
    }

    void check_above_ground(TableRef ref, const Vec3& position_m) {
        if (!map_.is_sound(ref, "position_m")) return;
        const double ground_m =
            ground_height_m(shoot_.ground, Vec2(position_m), ground_middle_m(shoot_));
        if (position_m.z <= ground_m)
            add(map_.value(ref, "position_m"),
                fmt::format("{} is {} m up; allowed is above the ground, which is {:.2f} m there",
                            in(ref, "position_m"), position_m.z, ground_m));
    }

    /// A place sets the light of the sky; without one it is stated.
    void check_place() {
        const TableRef sky{"sky", 0};
        const bool has_place = map_.has({"place", 0});
        for (std::string_view key : {"horizontal_lx", "temperature_k", "glow_bearing_deg"})
            if (has_place && map_.has(sky, key))
                add(map_.key(sky, key),
                    fmt::format("{} stands beside [place], which sets the sky's light; allowed is "
                                "one of them",
                                in(sky, key)));
        for (std::string_view key : {"night_mag_arcsec2", "cloud_share", "town.bearing_deg",
                                     "town.horizontal_lx", "want_stops"})
            if (!has_place) check_needs_place(sky, key);
        if (!has_place) check_needs_place({"air", 0}, "visibility_km");
        check_inner(sky, "town", {"bearing_deg", "horizontal_lx"},
                    {"bearing_deg", "horizontal_lx"});
        for (std::size_t i = 0; i < shoot_.takes.size() && !has_place; ++i)
            check_needs_place({"take", i}, "after_s");
    }

    void check_needs_place(TableRef ref, std::string_view key) {
        if (map_.has(ref, key))
            add(map_.key(ref, key),
                fmt::format("{} means nothing without a [place]; allowed with one", in(ref, key)));
    }

    void check_camera() {
        const TableRef ref{"camera", 0};
        if (!map_.has(ref)) return;
        const Camera& camera = shoot_.camera;
        const double megapixels =
            static_cast<double>(camera.pixels.x) * static_cast<double>(camera.pixels.y) / 1e6;
        if (megapixels > most_megapixels)
            add(map_.value(ref, "pixels"),
                fmt::format("{} makes {} megapixels; allowed is up to {}", in(ref, "pixels"),
                            megapixels, most_megapixels));
        for (std::string_view key : {"bearing_deg", "tilt_deg"})
            if (both(ref, "look_at_m", key))
                add(map_.key(ref, key),
                    fmt::format("{} stands beside \"look_at_m\"; allowed is one of "
                                "the two ways to say where the camera looks",
                                in(ref, key)));
        if (camera.look_at_m && all_sound(ref, {"look_at_m", "position_m"}) &&
            glm::distance(*camera.look_at_m, camera.position_m) < shortest_line_m)
            add(map_.value(ref, "look_at_m"),
                fmt::format("{} is where the camera stands; allowed is at least {} m off",
                            in(ref, "look_at_m"), shortest_line_m));
        if (all_sound(ref, {"focus_m", "focal_mm"}) && camera.focus_m * 1000.0 <= camera.focal_mm)
            add(map_.value(ref, "focus_m"),
                fmt::format("{} is {}; allowed is more than the focal length, {} m",
                            in(ref, "focus_m"), camera.focus_m, camera.focal_mm / 1000.0));
        check_distortion(ref, camera);
        check_above_ground(ref, camera.position_m);
    }

    void check_distortion(TableRef ref, const Camera& camera) {
        if (!all_sound(ref, {"lens.distortion", "sensor_mm", "focal_mm"})) return;
        const RadialDistortion distortion(camera.lens.distortion);
        const double corner = corner_radius(camera);
        if (distortion.none() || distortion.limit() == std::numeric_limits<double>::infinity())
            return;
        const double reaches = distortion.image_radius(distortion.limit());
        if (reaches > corner) return;
        add(map_.value(ref, "lens.distortion"),
            fmt::format("{} folds the picture back {:.4g} focal lengths off its middle, before the "
                        "corner at {:.4g}; allowed is a weaker pair, or a longer lens",
                        in(ref, "lens.distortion"), reaches, corner));
    }

    void check_subject(TableRef ref) {
        if (both(ref, "model", "mesh"))
            add(map_.key(ref, "mesh"),
                fmt::format("{} stands beside \"model\"; allowed is one of them", in(ref, "mesh")));
        if (!map_.has(ref, "model") && !map_.has(ref, "mesh"))
            add(map_.table(ref),
                fmt::format("{} has no \"model\" and no \"mesh\"; allowed is one of them",
                            map_.label(ref)));
    }

    void check_lamp(TableRef ref) {
        const Lamp& lamp = shoot_.lamps[ref.index];
        const double mired = 1e6 / lamp.temperature_k + lamp.gel.shift_mired;
        constexpr double fewest_mired = 1e6 / highest_temperature_k;
        constexpr double most_mired = 1e6 / lowest_temperature_k;
        if (all_sound(ref, {"temperature_k", "gel.shift_mired"}) &&
            (mired < fewest_mired || mired > most_mired))
            add(map_.value(ref, "gel.shift_mired"),
                fmt::format("{} takes {} K to {:.1f} mired; allowed is {:.1f} to {:.1f} mired, "
                            "which is {} to {} K",
                            in(ref, "gel.shift_mired"), lamp.temperature_k, mired, fewest_mired,
                            most_mired, highest_temperature_k, lowest_temperature_k));
        check_pulse(ref, lamp.pulse);
        if (!map_.has(ref, "position_m")) return;
        if (lamp.position_m) check_above_ground(ref, *lamp.position_m);
        const auto* word = std::get_if<AimWord>(&lamp.aim);
        if (word && *word != AimWord::down)
            add(map_.value(ref, "aim"),
                fmt::format(
                    "{} needs a flight, but the lamp has a position_m and stands; allowed is "
                    "\"down\", a subject's name, or a direction of 3 numbers",
                    in(ref, "aim")));
    }

    /// Keys of one inner table of which some are needed as soon as any is there.
    void check_inner(TableRef ref, std::string_view inner,
                     std::initializer_list<std::string_view> all,
                     std::initializer_list<std::string_view> needed) {
        const auto full = [&](std::string_view key) { return fmt::format("{}.{}", inner, key); };
        const auto given = std::find_if(
            all.begin(), all.end(), [&](std::string_view key) { return map_.has(ref, full(key)); });
        if (given == all.end()) return;
        for (const std::string_view key : needed)
            if (!map_.has(ref, full(key)))
                add(map_.key(ref, full(*given)),
                    fmt::format("{} has {} without {}; required is {}", map_.label(ref),
                                in_quotes(inner), in_quotes(key),
                                allowed_text(*find_key(ref.table, full(key)))));
    }

    void check_pulse(TableRef ref, const Pulse& pulse) {
        check_inner(ref, "pulse", {"per_minute", "on_s", "first_s"}, {"per_minute", "on_s"});
        if (pulse.per_minute && pulse.on_s && *pulse.on_s > pulse.period_s())
            add(map_.value(ref, "pulse.on_s"),
                fmt::format(
                    "{} is {} s, but the next flash begins after {:.4g} s; allowed is up to "
                    "that",
                    in(ref, "pulse.on_s"), *pulse.on_s, pulse.period_s()));
    }

    void check_flight(TableRef ref) {
        const Flight& flight = shoot_.flights[ref.index];
        check_pace(ref);
        check_limits(ref, flight);
        for (std::size_t i = 0; i < flight.carries.size(); ++i) {
            const Lamp* lamp = find_named(shoot_.lamps, flight.carries[i]);
            if (lamp && lamp->position_m)
                add(map_.item(ref, "carries", i),
                    fmt::format("{} names {}, which has a position_m and stands; allowed is a lamp "
                                "without one",
                                in(ref, "carries"), in_quotes(lamp->name)));
        }
        if (flight.shape == FlightShape::line) return check_line(ref, flight);
        const double low_m = lowest_m(flight);
        if (all_sound(ref, {"shape", "height_m", "radius_m", "rise_m"}) && low_m <= 0.0)
            add(map_.value(ref, "height_m"),
                fmt::format(
                    "{} is {}, which takes the {} down to {} m; allowed is all of it above 0 m",
                    in(ref, "height_m"), flight.height_m,
                    flight.shape == FlightShape::ring ? "ring" : "helix", low_m));
    }

    static double lowest_m(const Flight& flight) {
        if (flight.shape == FlightShape::ring) return flight.height_m - flight.radius_m;
        if (flight.shape == FlightShape::helix)
            return flight.height_m + std::min(0.0, flight.rise_m);
        return flight.height_m;
    }

    void check_line(TableRef ref, const Flight& flight) {
        for (const auto& [key, end] :
             {std::pair{"from_m", flight.from_m}, std::pair{"to_m", flight.to_m}})
            if (end && end->z <= 0.0)
                add(map_.value(ref, key),
                    fmt::format("{} is {} m up; allowed is above 0 m", in(ref, key), end->z));
        if (flight.from_m && flight.to_m &&
            glm::distance(*flight.from_m, *flight.to_m) < shortest_line_m)
            add(map_.value(ref, "to_m"),
                fmt::format("{} is where the line starts; allowed is at least "
                            "{} m off",
                            in(ref, "to_m"), shortest_line_m));
    }

    void check_pace(TableRef ref) {
        std::string_view first;
        for (std::string_view key : {"lap_s", "speed_m_s", "pace"}) {
            if (!map_.has(ref, key)) continue;
            if (!first.empty())
                add(map_.key(ref, key),
                    fmt::format(
                        "{} stands beside {}; allowed is one of \"lap_s\", \"speed_m_s\" and "
                        "\"pace\"",
                        in(ref, key), in_quotes(first)));
            else
                first = key;
        }
    }

    void check_limits(TableRef ref, const Flight& flight) {
        check_inner(ref, "limits", {"speed_m_s", "acceleration_m_s2"}, {"acceleration_m_s2"});
        const bool has_course = flight.shape != FlightShape::line || (flight.from_m && flight.to_m);
        const bool one_pace =
            map_.has(ref, "lap_s") + map_.has(ref, "speed_m_s") + map_.has(ref, "pace") <= 1;
        if (!flight.limits.given() || !has_course || !one_pace ||
            !all_sound(ref, {"shape", "radius_m", "rise_m", "turns", "from_m", "to_m", "lap_s",
                             "speed_m_s", "pace", "limits.speed_m_s"}))
            return;
        const double shortest_s = shortest_duration_s(flight);
        if (flight.pace == Pace::shutter) return check_shutters(ref, flight, shortest_s);
        const std::optional<double> wanted_s = wanted_duration_s(flight, 0.0);
        if (!wanted_s || !is_too_short(*wanted_s, shortest_s)) return;
        const double turns = flight.shape == FlightShape::line ? 1.0 : flight.turns;
        const std::string least =
            fmt::format("within its limits {} s is the shortest", rounded_up_s(shortest_s / turns));
        if (flight.lap_s)
            add(map_.value(ref, "lap_s"),
                fmt::format("{} is {}; {}", in(ref, "lap_s"), *flight.lap_s, least));
        else
            add(map_.key(ref, "limits.acceleration_m_s2"),
                fmt::format("{} has no pace and takes {} s a lap; {}", map_.label(ref),
                            *wanted_s / turns, least));
    }

    void check_shutters(TableRef ref, const Flight& flight, double shortest_s) {
        for (std::size_t i = 0; i < shoot_.takes.size(); ++i) {
            const Take& take = shoot_.takes[i];
            const double shutter_s = settings_of(shoot_, take).shutter_s;
            if (!contains(take.flights, flight.name) || !map_.is_sound({"take", i}, "shutter_s") ||
                !map_.is_sound({"camera", 0}, "shutter_s") || !is_too_short(shutter_s, shortest_s))
                continue;
            add(map_.value(ref, "pace"),
                fmt::format(
                    "{} gives the flight {} s in {}; within its limits {} s is the shortest",
                    in(ref, "pace"), shutter_s, map_.label({"take", i}), rounded_up_s(shortest_s)));
        }
    }

    static bool is_too_short(double wanted_s, double shortest_s) {
        return wanted_s < shortest_s * (1.0 - 1e-9);
    }

    /// To a hundredth, so that the time named can be written in the file.
    static double rounded_up_s(double time_s) { return std::ceil(time_s * 100.0) / 100.0; }

    bool has_standing_lamp() const {
        for (std::size_t i = 0; i < shoot_.lamps.size(); ++i)
            if (map_.has({"lamp", i}, "position_m")) return true;
        return false;
    }

    bool lights_standing_lamp(TableRef ref) const {
        const Take& take = shoot_.takes[ref.index];
        return map_.has(ref, "lamps") ? !take.lamps || !take.lamps->empty() : has_standing_lamp();
    }

    void check_take(TableRef ref, bool has_light) {
        const Take& take = shoot_.takes[ref.index];
        if (has_light && !map_.has(ref, "flights") && !lights_standing_lamp(ref))
            add(map_.table(ref), fmt::format("{} has no light; allowed is one of \"flights\", or a "
                                             "standing lamp",
                                             map_.label(ref)));
        check_lamps_flown_once(ref, take);
        for (std::size_t i = 0; take.lamps && i < take.lamps->size(); ++i) {
            const Lamp* lamp = find_named(shoot_.lamps, (*take.lamps)[i]);
            if (lamp && !stands(*lamp))
                add(map_.item(ref, "lamps", i),
                    fmt::format(
                        "{} names {}, which has no position_m; allowed is a lamp that stands",
                        in(ref, "lamps"), in_quotes(lamp->name)));
        }
        for (const auto& [name, stops] : take.lamp_stops) {
            const Lamp* lamp = find_named(shoot_.lamps, name);
            if (lamp && all_sound(ref, {"flights", "lamps"}) && !is_lit(take, *lamp))
                add(map_.item(ref, "lamp_stops", name),
                    fmt::format(
                        "{} names {}, which is dark in this take; allowed is a lamp that is lit",
                        in(ref, "lamp_stops"), in_quotes(name)));
        }
    }

    /// Whether the lamp has a position, right or wrong.
    bool stands(const Lamp& lamp) const {
        const auto index = static_cast<std::size_t>(&lamp - shoot_.lamps.data());
        return map_.has({"lamp", index}, "position_m");
    }

    bool is_lit(const Take& take, const Lamp& lamp) const {
        if (stands(lamp)) return !take.lamps || contains(*take.lamps, lamp.name);
        return std::any_of(take.flights.begin(), take.flights.end(), [&](const std::string& name) {
            const Flight* flight = find_named(shoot_.flights, name);
            // A flight that is not there has been told of; it may have carried the lamp.
            return !flight || contains(flight->carries, lamp.name);
        });
    }

    void check_lamps_flown_once(TableRef ref, const Take& take) {
        std::map<std::string, std::string> carrier;
        for (std::size_t i = 0; i < take.flights.size(); ++i) {
            const Flight* flight = find_named(shoot_.flights, take.flights[i]);
            if (!flight) continue;
            for (const std::string& lamp : flight->carries) {
                const auto [first, is_new] = carrier.emplace(lamp, flight->name);
                if (is_new || first->second == flight->name) continue;
                add(map_.item(ref, "flights", i),
                    fmt::format(
                        "{} flies the lamp {} with {} and with {}; allowed is one flight a lamp",
                        in(ref, "flights"), in_quotes(lamp), in_quotes(first->second),
                        in_quotes(flight->name)));
            }
        }
    }

    const Shoot& shoot_;
    const SceneMap& map_;
    std::vector<Problem> problems_;
};

}  // namespace

std::vector<Problem> check_shoot(const Reading& reading) {
    return Checker(reading).check();
}

}  // namespace lampflight
