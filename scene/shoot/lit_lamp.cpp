#include "scene/shoot/lit_lamp.h"

#include <algorithm>
#include <cmath>

#include "scene/basics/angle.h"
#include "scene/basics/names.h"
#include "scene/basics/shortest_time.h"
#include "scene/shoot/pen.h"
#include "scene/shoot/straying_of.h"
#include "scene/subjects/box.h"

namespace lampflight {
namespace {

const Vec3 down{0.0, 0.0, -1.0};

/// Unit vector, or down where the direction has no length to speak of.
Vec3 unit_or_down(const Vec3& direction) {
    const double length = glm::length(direction);
    return length > 1e-9 ? direction / length : down;
}

Vec3 ahead_of(const LitLamp& lit, double time_s) {
    if (!lit.flies()) return {0.0, 1.0, 0.0};
    const FlightPath& path = *lit.ride_at(time_s).path;
    const Vec3 along = path.direction(time_s);
    // Where it only stands, ahead is where the nose points.
    return along == Vec3(0.0) ? direction_of(path.nose_rad(time_s)) : unit_or_down(along);
}

Vec3 centre_from(const LitLamp& lit, double time_s) {
    const Vec3 lamp_m = lit.position_m(time_s);
    const Vec3 centre_m =
        lit.flies() ? lit.ride_at(time_s).path->centre_m() : Vec3(0.0, 0.0, lamp_m.z);
    return unit_or_down(centre_m - lamp_m);
}

/// When a lamp burns of itself, from the shutter's opening to its end.
TimeWindows switched_on(const Lamp& lamp, double shutter_s) {
    TimeWindows on{{0.0, shutter_s}};
    if (lamp.lit_s) on = common(on, *lamp.lit_s);
    return lamp.pulse.per_minute ? common(on, flashes(lamp.pulse, shutter_s)) : on;
}

void add_if_lit(std::vector<LitLamp>& list, LitLamp lit) {
    if (!lit.lit.empty()) list.push_back(std::move(lit));
}

Airframe airframe_of(const Shoot& shoot, const Flight& flight) {
    const Drone* drone = drone_of(shoot, flight);
    return airframe_of(drone ? *drone : Drone{}, wind_m_s(shoot.air));
}

/// The rides of the lamps of a take, gathered flight by flight.
class Rides {
public:
    Rides(const Shoot& shoot, const Take& take)
        : shoot_(shoot), take_(take), shutter_s_(settings_of(shoot, take).shutter_s) {
        const std::vector<FlownFlight> flown = flown_flights(shoot, take);
        for (const FlownFlight& way : flown_ways(shoot, take, flown)) add_way(way);
        for (const FlownFlight& flight : flown) add_flight(flight);
    }

    /// In the order in which flights first carry them.
    std::vector<LitLamp> lit() && {
        std::vector<LitLamp> list;
        for (Carried& carried : all_) {
            std::ranges::stable_sort(carried.legs, {}, &Leg::from_s);
            LitLamp lit{carried.lamp, {}, flux_scale(take_, *carried.lamp), {}, {}};
            TimeWindows flown;
            for (Leg& leg : carried.legs) {
                lit.rides.push_back(std::move(leg.ride));
                for (const TimeWindow& window : leg.pen.lit) flown.push_back(window);
                for (const AimChange& change : leg.pen.aims) lit.aims.push_back(change);
            }
            if (carried.lamp->own_light) flown = {{0.0, shutter_s_}};
            lit.lit = common(switched_on(*carried.lamp, shutter_s_), flown);
            add_if_lit(list, std::move(lit));
        }
        return list;
    }

private:
    struct Leg {
        double from_s;
        Ride ride;
        PenTimes pen;
    };
    struct Carried {
        const Lamp* lamp;
        std::vector<Leg> legs;
    };

    Ride ride(const std::shared_ptr<const FlightPath>& path, const Flight& flight) const {
        return {path, airframe_of(shoot_, flight), straying_of(shoot_, take_, flight)};
    }

    void add_way(const FlownFlight& way) {
        if (!(way.flown_s > 0.0)) return;
        const auto path = std::make_shared<const FlightPath>(way.path);
        const double from_s = path->begins_s();
        for (const std::string& name : way.flight->carries)
            if (contains(way.from->carries, name) && (way.flight->lit_between || is_own(name)))
                add(name, {from_s, ride(path, *way.flight),
                           {{{from_s, from_s + way.flown_s}}, {{from_s, std::nullopt}}}});
    }

    void add_flight(const FlownFlight& flown) {
        const auto path = std::make_shared<const FlightPath>(flown.path);
        for (const std::string& name : flown.flight->carries)
            add(name, {path->begins_s(), ride(path, *flown.flight),
                       is_own(name) ? PenTimes{} : pen_times(shoot_, flown, name)});
    }

    /// A drone's own light, which no pen switches or turns.
    bool is_own(const std::string& name) const {
        const Lamp* lamp = find_named(shoot_.lamps, name);
        return lamp && lamp->own_light;
    }

    void add(const std::string& name, Leg leg) {
        const Lamp* lamp = find_named(shoot_.lamps, name);
        if (!lamp) return;
        auto known = std::ranges::find(all_, lamp, &Carried::lamp);
        if (known == all_.end()) known = all_.insert(all_.end(), {lamp, {}});
        known->legs.push_back(std::move(leg));
    }

    const Shoot& shoot_;
    const Take& take_;
    double shutter_s_;
    std::vector<Carried> all_;
};

}  // namespace

bool is_carried(const Shoot& shoot, const Lamp& lamp) {
    return std::any_of(shoot.flights.begin(), shoot.flights.end(),
                       [&](const Flight& flight) { return contains(flight.carries, lamp.name); });
}

double flux_scale(const Take& take, const Lamp& lamp) {
    const auto stops = take.lamp_stops.find(lamp.name);
    return stops == take.lamp_stops.end() ? 1.0 : std::exp2(stops->second);
}

Vec3 Ride::position_m(double time_s) const {
    const Vec3 planned_m = path->position_m(time_s);
    return strays ? planned_m + strays->offset_m(time_s) : planned_m;
}

const Ride& LitLamp::ride_at(double time_s) const {
    const auto after = std::upper_bound(
        rides.begin() + 1, rides.end(), time_s,
        [](double time, const Ride& ride) { return time < ride.path->begins_s(); });
    return *std::prev(after);
}

Vec3 LitLamp::position_m(double time_s, double hung_share) const {
    if (!flies()) return lamp->position_m.value_or(Vec3(0.0));
    const Ride& ride = ride_at(time_s);
    Vec3 place_m = ride.position_m(time_s);
    if (lamp->offset_m != Vec3(0.0))
        place_m +=
            attitude(*ride.path, ride.airframe, time_s, ride.strays.get()) * lamp->offset_m;
    return place_m - Vec3(0.0, 0.0, lamp->hang_m * hung_share);
}

double LitLamp::flown_m(double time_s) const {
    double way_m = 0.0;
    for (const Ride& ride : rides) way_m += ride.path->flown_m(time_s);
    return way_m;
}

const Aim& LitLamp::aim_at(double time_s) const {
    const auto after =
        std::upper_bound(aims.begin(), aims.end(), time_s,
                         [](double time, const AimChange& aim) { return time < aim.from_s; });
    if (after == aims.begin() || !std::prev(after)->aim) return lamp->aim;
    return *std::prev(after)->aim;
}

std::vector<double> LitLamp::breaks_s() const {
    std::vector<double> breaks;
    for (const Ride& ride : rides) {
        const std::vector<double> of_path = ride.path->breaks_s();
        breaks.insert(breaks.end(), of_path.begin(), of_path.end());
        breaks.push_back(ride.path->begins_s());
        if (lamp->own_light) breaks.push_back(ride.path->ends_s());  // it burns on there
    }
    for (const AimChange& change : aims) breaks.push_back(change.from_s);
    std::ranges::sort(breaks);
    breaks.erase(std::unique(breaks.begin(), breaks.end()), breaks.end());
    return breaks;
}

std::vector<LitLamp> lit_lamps(const Shoot& shoot, const Take& take) {
    const double shutter_s = settings_of(shoot, take).shutter_s;
    std::vector<LitLamp> lit = Rides(shoot, take).lit();
    for (const Lamp& lamp : shoot.lamps) {
        if (!lamp.position_m || is_carried(shoot, lamp)) continue;
        if (take.lamps && !contains(*take.lamps, lamp.name)) continue;
        add_if_lit(lit, {&lamp, {}, flux_scale(take, lamp), switched_on(lamp, shutter_s), {}});
    }
    return lit;
}

LitLamp lit_during(LitLamp lit, const TimeWindows& times) {
    lit.lit = common(lit.lit, times);
    return lit;
}

TimeWindows flashes(const Pulse& pulse, double until_s) {
    const double period_s = pulse.period_s();
    // A flash as long as its period goes over into the next one.
    if (*pulse.on_s >= period_s) return common({{pulse.first_s, until_s}}, {{0.0, until_s}});
    TimeWindows all;
    for (int k = 0; pulse.first_s + k * period_s < until_s - rounding_s; ++k) {
        const double from_s = pulse.first_s + k * period_s;
        all.push_back({from_s, std::min(from_s + *pulse.on_s, until_s)});
    }
    return all;
}

AimTargets aim_targets(const PlacedShoot& shoot, const LitLamp& lit) {
    AimTargets targets;
    const auto add = [&](const Aim& aim) {
        const auto* at = std::get_if<AimAtSubject>(&aim);
        if (!at || targets.contains(at->name)) return;
        const auto subject = std::ranges::find(shoot.subjects, at->name, &Subject::name);
        if (subject == shoot.subjects.end()) return;
        const auto place = static_cast<std::size_t>(subject - shoot.subjects.begin());
        targets.emplace(at->name, box_of(shoot.meshes[place]).middle_m());
    };
    add(lit.lamp->aim);
    for (const AimChange& change : lit.aims)
        if (change.aim) add(*change.aim);
    return targets;
}

Vec3 aim_direction(const LitLamp& lit, const AimTargets& targets, double time_s) {
    const Aim& aim = lit.aim_at(time_s);
    if (const auto* at = std::get_if<AimAtSubject>(&aim)) {
        const auto target = targets.find(at->name);
        return target == targets.end() ? down : unit_or_down(target->second - lit.position_m(time_s));
    }
    const bool fixed = lit.lamp->mount == Mount::fixed && lit.flies();
    const auto own = [&](const Vec3& direction) {
        if (!fixed) return direction;
        const Ride& ride = lit.ride_at(time_s);
        return attitude(*ride.path, ride.airframe, time_s, ride.strays.get()) * direction;
    };
    if (const Vec3* direction = std::get_if<Vec3>(&aim)) return own(unit_or_down(*direction));
    switch (std::get<AimWord>(aim)) {
        case AimWord::ahead:
            return fixed ? own({0.0, 1.0, 0.0}) : ahead_of(lit, time_s);
        case AimWord::centre:
            return centre_from(lit, time_s);
        case AimWord::down:
            break;
    }
    return own(down);
}

}  // namespace lampflight
