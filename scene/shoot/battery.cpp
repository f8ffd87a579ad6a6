#include "scene/shoot/battery.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

#include "scene/basics/names.h"
#include "scene/shoot/flown_flight.h"

namespace lampflight {
namespace {

constexpr double minute_s = 60.0;
constexpr double rounding = 1e-9;  ///< of what is used up to the very reserve

/// A take as one drone flies it. Flights at once, of drones of one kind, start and end in several
/// places; the longest way counts.
struct FlownPart {
    std::string take;
    double shutter_s;
    double flown_s;
    std::vector<Vec3> starts_m, ends_m;
};

/// Along a straight way, or along its legs: what lies level and what climbs or sinks.
double lasts_s(const Drone& drone, const Vec3& from_m, const Vec3& to_m, bool straight) {
    const Vec3 way_m = to_m - from_m;
    const auto at_most = [&](const std::optional<double>& limit_m_s) {
        return std::min(drone.transit_m_s, limit_m_s.value_or(drone.transit_m_s));
    };
    const SpeedLimits& limits = drone.limits;
    const double level_m_s = at_most(limits.speed_m_s);
    const double upright_s =
        std::abs(way_m.z) /
        std::min(level_m_s, at_most(way_m.z > 0.0 ? limits.climb_m_s : limits.descent_m_s));
    if (straight) return std::max(upright_s, glm::length(way_m) / level_m_s);
    return upright_s + glm::length(Vec2(way_m)) / level_m_s;
}

double longest_s(const Drone& drone, const std::vector<Vec3>& from_m, const std::vector<Vec3>& to_m,
                 bool straight) {
    double longest = 0.0;
    for (const Vec3& from : from_m)
        for (const Vec3& to : to_m) longest = std::max(longest, lasts_s(drone, from, to, straight));
    return longest;
}

/// What one drone has to do with one take; nothing to fly leaves no starts.
FlownPart part_of(const Shoot& shoot, const Take& take, const std::vector<FlownFlight>& flown,
                  const Drone& drone) {
    const double shutter_s = settings_of(shoot, take).shutter_s;
    FlownPart part{take.name, shutter_s, shutter_s, {}, {}};
    std::vector<std::string> followed;
    for (std::size_t place = 0; place < take.flights.size(); ++place)
        if (const auto before = flight_before(shoot, take, place))
            followed.push_back(take.flights[*before]);
    for (const FlownFlight& one : flown) {
        if (drone_of(shoot, *one.flight) != &drone) continue;
        const auto place = static_cast<std::size_t>(
            std::ranges::find(take.flights, one.flight->name) - take.flights.begin());
        const FlightPath& path = one.path;
        part.flown_s = std::max(part.flown_s, path.ends_s());
        if (!flight_before(shoot, take, place))
            part.starts_m.push_back(path.position_m(path.begins_s()));
        if (!contains(followed, one.flight->name))
            part.ends_m.push_back(path.position_m(path.ends_s()));
    }
    return part;
}

/// The ways of one drone, and how long it stays up between its takes.
class BatteryRound {
public:
    BatteryRound(const Drone& drone, const Camera& camera, std::vector<FlownPart> parts)
        : drone_(drone), camera_(camera), parts_(std::move(parts)) {}

    DroneBattery battery() const {
        DroneBattery battery;
        battery.drone = drone_.name;
        battery.endurance_s = loaded_endurance_s(drone_);
        battery.timed = drone_.loaded_endurance_min.has_value();
        battery.reserve = drone_.reserve;
        if (battery.endurance_s) battery.usable_s = *battery.endurance_s * (1.0 - drone_.reserve);
        battery.out_s = out_s(0);
        battery.back_s = back_s(parts_.size() - 1);
        if (battery.usable_s) battery.tries = tries(*battery.usable_s);
        fly_once(battery);
        return battery;
    }

private:
    std::vector<Vec3> home_m() const { return {drone_.home_m}; }
    double out_s(std::size_t at) const {
        return longest_s(drone_, home_m(), parts_[at].starts_m, false);
    }
    double back_s(std::size_t at) const {
        return longest_s(drone_, parts_[at].ends_m, home_m(), false);
    }

    /// From the end of a take to the opening of the next. The camera is busy with its dark frame
    /// for as long as the shutter was open, from its closing on.
    double reset_s(const FlownPart& before, const FlownPart& next) const {
        const double ready_s =
            std::max(drone_.reset_s, longest_s(drone_, before.ends_m, next.starts_m, true));
        if (!camera_.dark_frame) return ready_s;
        return std::max(ready_s, 2.0 * before.shutter_s - before.flown_s);
    }

    /// Each take must leave enough for the way home from its own end. Round by round a take ends so
    /// much later; the first that comes too late, of any, ends the tries.
    int tries(double usable_s) const {
        const std::size_t count = parts_.size();
        std::vector<double> ended_s;
        double up_s = out_s(0);
        for (std::size_t at = 0; at < count; ++at) {
            if (at > 0) up_s += reset_s(parts_[at - 1], parts_[at]);
            ended_s.push_back(up_s += parts_[at].flown_s);
        }
        const double round_s = up_s - out_s(0) + reset_s(parts_.back(), parts_.front());
        double fewest = std::numeric_limits<int>::max();
        for (std::size_t at = 0; at < count; ++at) {
            const double spare_s = usable_s * (1.0 + rounding) - ended_s[at] - back_s(at);
            const double rounds = spare_s < 0.0 ? 0.0 : std::floor(spare_s / round_s) + 1.0;
            fewest =
                std::min(fewest, rounds * static_cast<double>(count) + static_cast<double>(at));
        }
        return static_cast<int>(fewest);
    }

    void fly_once(DroneBattery& battery) const {
        double used_s = 0.0;
        int number = 0;
        for (std::size_t at = 0; at < parts_.size(); ++at) {
            const FlownPart& part = parts_[at];
            BatteryTake take{part.take, {}, 0.0, 0.0, part.flown_s, back_s(at), {}, {}};
            if (at > 0) take.reset_s = reset_s(parts_[at - 1], part);
            const double landed_s = used_s + take.reset_s + take.flown_s + take.back_s;
            if (at == 0 || (battery.usable_s && landed_s > *battery.usable_s * (1.0 + rounding))) {
                ++number;
                used_s = 0.0;
                take.out_s = out_s(at);
                take.reset_s = 0.0;
            }
            used_s += take.out_s + take.reset_s + take.flown_s;
            if (battery.endurance_s) {
                take.battery = number;
                take.left_s = *battery.endurance_s - used_s;
                take.left_share = *take.left_s / *battery.endurance_s;
            }
            battery.takes.push_back(take);
        }
    }

    const Drone& drone_;
    const Camera& camera_;
    std::vector<FlownPart> parts_;
};

}  // namespace

std::optional<double> DroneBattery::landed_s(const BatteryTake& take) const {
    if (!take.left_s) return std::nullopt;
    return *take.left_s - take.back_s;
}

std::optional<bool> DroneBattery::keeps_reserve(const BatteryTake& take) const {
    const auto landed = landed_s(take);
    if (!landed) return std::nullopt;
    return *landed >= *endurance_s - *usable_s * (1.0 + rounding);
}

std::optional<double> loaded_endurance_s(const Drone& drone) {
    if (drone.loaded_endurance_min) return *drone.loaded_endurance_min * minute_s;
    if (!drone.endurance_min) return std::nullopt;
    return *drone.endurance_min * minute_s * std::pow(drone.mass_kg / drone.loaded_kg(), 1.5);
}

std::vector<DroneBattery> batteries(const Shoot& shoot) {
    std::vector<std::vector<FlownFlight>> flown;
    for (const Take& take : shoot.takes) flown.push_back(flown_flights(shoot, take));
    std::vector<DroneBattery> list;
    for (const Drone& drone : shoot.drones) {
        std::vector<FlownPart> parts;
        for (std::size_t at = 0; at < shoot.takes.size(); ++at) {
            FlownPart part = part_of(shoot, shoot.takes[at], flown[at], drone);
            if (!part.starts_m.empty()) parts.push_back(std::move(part));
        }
        if (!parts.empty())
            list.push_back(BatteryRound(drone, shoot.camera, std::move(parts)).battery());
    }
    return list;
}

const DroneBattery* scarcest(const std::vector<DroneBattery>& batteries) {
    const DroneBattery* found = nullptr;
    for (const DroneBattery& one : batteries)
        if (one.tries && (!found || *one.tries < *found->tries)) found = &one;
    return found;
}

}  // namespace lampflight
