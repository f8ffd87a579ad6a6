// Checks of drones, of their limits wherever these stand, and of what makes a flight stray.
#include "scene/reader/check_shoot.h"

namespace lampflight {
namespace {

void check_endurance(const Checks& checks, TableRef ref, const Drone& drone) {
    if (drone.endurance_min && drone.loaded_endurance_min &&
        *drone.loaded_endurance_min > *drone.endurance_min)
        checks.refuse_value(ref, "loaded_endurance_min",
                            "is {} min, but endurance_min, without lamps, is {} min; allowed is up "
                            "to that",
                            *drone.loaded_endurance_min, *drone.endurance_min);
}

}  // namespace

void check_limits_table(const Checks& checks, TableRef ref) {
    check_inner(checks, ref, "limits",
                {"speed_m_s", "acceleration_m_s2", "turning_m_s2", "climb_m_s", "descent_m_s",
                 "yaw_deg_s", "air_m_s"},
                {"acceleration_m_s2"});
}

void check_drones(const Checks& checks) {
    for (std::size_t i = 0; i < checks.shoot.drones.size(); ++i) {
        const TableRef ref{"drone", i};
        const Drone& drone = checks.shoot.drones[i];
        if (checks.shoot.drones.size() > 1 && !checks.map.has(ref, "name"))
            checks.add(checks.map.table(ref),
                       "{} has no \"name\", and is not the only one; required is a name that "
                       "flights can call",
                       checks.map.label(ref));
        check_limits_table(checks, ref);
        check_endurance(checks, ref, drone);
    }
}

void check_wander(const Checks& checks, TableRef ref, const Flight& flight) {
    // One that comes after another strays as that does.
    if (flight.wander_m || flight.after || !checks.map.is_sound(ref, "wander_m")) return;
    if (checks.map.has(ref, "wander_s"))
        checks.refuse_key(ref, "wander_s",
                          "tells how long it strays, but not how far; allowed beside wander_m");
}

}  // namespace lampflight
