#include "scene/shoot/own_lights.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <optional>
#include <string>
#include <string_view>
#include <utility>

#include <fmt/format.h>

#include "scene/basics/angle.h"
#include "scene/shoot/flown_flight.h"

namespace lampflight {
namespace {

// The side lights shine from dead ahead to 110 deg, the one behind over 140 deg: 14 CFR 25.1387.
constexpr double side_deg = 110.0;
constexpr double behind_deg = 140.0;

// Common practice, no source.
constexpr double face_mm = 6.0;
constexpr double beacon_face_mm = 15.0;
constexpr double beacon_up_m = 0.1;

/// Gives a lamp the colour of the usual light-emitting diodes: by dominant wavelength and purity
/// common practice, no source. Red, green and white lie within 14 CFR 25.1397.
void set_colour(Lamp& lamp, LightColour colour) {
    const auto set = [&](double dominant_nm, double purity) {
        lamp.dominant_nm = dominant_nm;
        lamp.purity = purity;
    };
    switch (colour) {
        case LightColour::red:
            return set(625.0, 1.0);
        case LightColour::amber:
            return set(590.0, 1.0);
        case LightColour::green:
            return set(525.0, 0.8);
        case LightColour::blue:
            return set(470.0, 0.97);
        case LightColour::white:
        case LightColour::none:
            lamp.temperature_k = 6000.0;
    }
}

/// A drone as it flies: as often as it is in the air at once.
struct Aircraft {
    std::size_t drone;
    int number;  ///< 1 for the first of its kind
    std::vector<std::size_t> flights;
};

/// Which flights are flown one after another, by one aircraft, and which need one each.
class Fleet {
public:
    explicit Fleet(const Shoot& shoot) : shoot_(shoot), chain_(shoot.flights.size()) {
        std::iota(chain_.begin(), chain_.end(), std::size_t{0});
        for (const Take& take : shoot.takes)
            for (std::size_t place = 0; place < take.flights.size(); ++place)
                if (const auto before = flight_before(shoot, take, place))
                    join(take.flights[*before], take.flights[place]);
    }

    std::vector<Aircraft> aircraft() const {
        std::vector<Aircraft> all;
        for (std::size_t drone = 0; drone < shoot_.drones.size(); ++drone)
            for (std::size_t flight = 0; flight < shoot_.flights.size(); ++flight)
                if (drone_of(shoot_, shoot_.flights[flight]) == &shoot_.drones[drone])
                    add(all, drone, flight);
        return all;
    }

private:
    std::optional<std::size_t> place_of(const std::string& name) const {
        const auto found = std::ranges::find(shoot_.flights, name, &Flight::name);
        if (found == shoot_.flights.end()) return std::nullopt;
        return static_cast<std::size_t>(found - shoot_.flights.begin());
    }

    void join(const std::string& one, const std::string& other) {
        const auto from = place_of(one), to = place_of(other);
        if (!from || !to) return;
        const std::size_t old = chain_[*to];
        std::ranges::replace(chain_, old, chain_[*from]);
    }

    /// Whether a take has flights of both chains.
    bool meet(std::size_t chain, std::size_t other) const {
        const auto flies = [&](const Take& take, std::size_t which) {
            return std::ranges::any_of(take.flights, [&](const std::string& name) {
                const auto place = place_of(name);
                return place && chain_[*place] == which;
            });
        };
        return chain != other && std::ranges::any_of(shoot_.takes, [&](const Take& take) {
                   return flies(take, chain) && flies(take, other);
               });
    }

    void add(std::vector<Aircraft>& all, std::size_t drone, std::size_t flight) const {
        int count = 0;
        for (Aircraft& one : all) {
            if (one.drone != drone) continue;
            ++count;
            const bool busy = std::ranges::any_of(one.flights, [&](std::size_t other) {
                return meet(chain_[other], chain_[flight]);
            });
            if (busy) continue;
            one.flights.push_back(flight);
            return;
        }
        all.push_back({drone, count + 1, {flight}});
    }

    const Shoot& shoot_;
    std::vector<std::size_t> chain_;  ///< of each flight
};

/// "scout left light"; of a second one like it, "scout left light 2".
std::string light_name(const Drone& drone, const Aircraft& one, std::string_view light) {
    std::string name =
        drone.name.empty() ? std::string(light) : fmt::format("{} {}", drone.name, light);
    if (one.number > 1) name += fmt::format(" {}", one.number);
    return name;
}

Lamp bare_lamp(std::string name, double flux_lm, LightColour colour) {
    Lamp lamp;
    lamp.name = std::move(name);
    lamp.flux_lm = flux_lm;
    lamp.spill = 0.0;
    lamp.mount = Mount::fixed;
    lamp.own_light = true;
    set_colour(lamp, colour);
    return lamp;
}

void add_position_lights(std::vector<OwnLight>& lights, const Drone& drone, const Aircraft& one) {
    const double arm_m = drone.lights.arm_m;
    const double side = std::sin(radians(side_deg / 2.0));
    const double ahead = std::cos(radians(side_deg / 2.0));
    const auto add = [&](std::string_view name, LightColour colour, double beam_deg,
                         const Vec3& offset_m, const Vec3& aim) {
        if (colour == LightColour::none) return;
        Lamp lamp = bare_lamp(light_name(drone, one, name), drone.lights.flux_lm, colour);
        lamp.beam_deg = beam_deg;
        lamp.face_mm = face_mm;
        lamp.offset_m = offset_m;
        lamp.aim = aim;
        lights.push_back({std::move(lamp), one.drone, one.flights});
    };
    add("left light", drone.lights.left, side_deg, {-arm_m, 0.0, 0.0}, {-side, ahead, 0.0});
    add("right light", drone.lights.right, side_deg, {arm_m, 0.0, 0.0}, {side, ahead, 0.0});
    add("light behind", drone.lights.behind, behind_deg, {0.0, -arm_m, 0.0}, {0.0, -1.0, 0.0});
}

void add_beacon(std::vector<OwnLight>& lights, const Drone& drone, const Aircraft& one) {
    const Beacon& beacon = drone.beacon;
    Lamp lamp = bare_lamp(light_name(drone, one, "beacon"), beacon.flux_lm, beacon.colour);
    lamp.beam_deg = 360.0;
    lamp.face_mm = beacon_face_mm;
    lamp.offset_m = {0.0, 0.0, beacon_up_m};
    lamp.pulse = beacon.pulse;
    lights.push_back({std::move(lamp), one.drone, one.flights});
}

}  // namespace

std::vector<OwnLight> own_lights(const Shoot& shoot) {
    const auto shows = [](const Drone& drone) {
        return drone.own_lights == OwnLights::showing || drone.beacon.pulse.per_minute;
    };
    std::vector<OwnLight> lights;
    if (std::ranges::none_of(shoot.drones, shows)) return lights;
    for (const Aircraft& one : Fleet(shoot).aircraft()) {
        const Drone& drone = shoot.drones[one.drone];
        if (drone.own_lights == OwnLights::showing) add_position_lights(lights, drone, one);
        if (drone.beacon.pulse.per_minute) add_beacon(lights, drone, one);
    }
    return lights;
}

void add_own_lights(Shoot& shoot) {
    for (OwnLight& light : own_lights(shoot)) {
        for (const std::size_t flight : light.flights)
            shoot.flights[flight].carries.push_back(light.lamp.name);
        shoot.lamps.push_back(std::move(light.lamp));
    }
}

}  // namespace lampflight
