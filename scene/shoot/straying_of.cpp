#include "scene/shoot/straying_of.h"

#include <algorithm>
#include <string_view>
#include <vector>

#include "scene/basics/angle.h"
#include "scene/basics/names.h"
#include "scene/flights/attitude.h"
#include "scene/shoot/flown_flight.h"

namespace lampflight {
namespace {

/// Mixes words and numbers into a seed: FNV-1a, 64 bits.
class Seed {
public:
    Seed& add(std::string_view text) {
        for (const char letter : text) add_byte(static_cast<unsigned char>(letter));
        add_byte(0xFF);  // in no UTF-8, so that "ab" and "c" are not "a" and "bc"
        return *this;
    }
    Seed& add(int number) { return add(std::to_string(number)); }
    std::uint64_t value() const { return value_; }

private:
    void add_byte(std::uint64_t byte) { value_ = (value_ ^ byte) * 0x100000001B3u; }

    std::uint64_t value_ = 0xCBF29CE484222325u;
};

/// The flight and those that its drone flies before it in the take, back to the first.
std::vector<const Flight*> back_from(const Shoot& shoot, const Take& take, const Flight& flight) {
    std::vector<const Flight*> back{&flight};
    const auto found = std::ranges::find(take.flights, flight.name);
    if (found == take.flights.end()) return back;
    std::optional<std::size_t> place = static_cast<std::size_t>(found - take.flights.begin());
    while ((place = flight_before(shoot, take, *place)) && back.size() <= take.flights.size())
        if (const Flight* before = find_named(shoot.flights, take.flights[*place]))
            back.push_back(before);
    return back;
}

}  // namespace

StrayingKeys straying_keys(const Shoot& shoot, const Take& take, const Flight& flight, int go) {
    const std::vector<const Flight*> back = back_from(shoot, take, flight);
    std::optional<double> wander_m, wander_s;
    int seed = 1;
    for (const Flight* at : back) {
        if (!wander_m) wander_m = at->wander_m;
        if (!wander_s) wander_s = at->wander_s;
        if (seed == 1) seed = at->wander_seed;
    }
    const Vec3 wind = wind_m_s(shoot.air);
    const Drone* drone = drone_of(shoot, flight);
    StrayingKeys keys;
    keys.states_wander = wander_m.has_value();
    keys.size = {.wander_m = wander_m.value_or(0.0),
                 .wander_s = wander_s.value_or(common_wander_s),
                 .gust_m_s = std::max(0.0, shoot.air.gust_m_s.value_or(0.0) - shoot.air.wind_m_s),
                 .gust_s = shoot.air.gust_s,
                 .wind_m_s = wind,
                 .drag_per_m = airframe_of(drone ? *drone : Drone{}, wind).drag_per_m,
                 .downwind = -direction_of(radians(shoot.air.wind_from_deg))};
    keys.seed = Seed().add(seed).add(back.back()->name).add(take.name).add(go).value();
    return keys;
}

std::shared_ptr<const Straying> straying_of(const Shoot& shoot, const Take& take,
                                            const Flight& flight) {
    const StrayingKeys keys = straying_keys(shoot, take, flight, shoot.go);
    if (!keys.size.strays()) return nullptr;
    return std::make_shared<const Straying>(keys.size, keys.seed);
}

double strays_within_m(const Shoot& shoot, const Flight& flight) {
    constexpr double rms = 3.0;
    const auto within_m = [&](const Take& take) {
        const StrayingSize size = straying_keys(shoot, take, flight, shoot.go).size;
        return size.strays() ? rms * astray_rms_m(size) : 0.0;
    };
    double most_m = 0.0;
    bool flown = false;
    for (const Take& take : shoot.takes) {
        if (!contains(take.flights, flight.name)) continue;
        most_m = std::max(most_m, within_m(take));
        flown = true;
    }
    return flown ? most_m : within_m(Take{});
}

}  // namespace lampflight
