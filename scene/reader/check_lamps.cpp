#include "scene/basics/colour.h"
#include "scene/reader/check_shoot.h"

namespace lampflight {
namespace {

void check_gel(const Checks& checks, TableRef ref, const Lamp& lamp) {
    const double mired = 1e6 / lamp.temperature_k + lamp.gel.shift_mired;
    constexpr double fewest_mired = 1e6 / highest_temperature_k;
    constexpr double most_mired = 1e6 / lowest_temperature_k;
    if (checks.map.all_sound(ref, {"temperature_k", "gel.shift_mired"}) &&
        (mired < fewest_mired || mired > most_mired))
        checks.refuse_value(
            ref, "gel.shift_mired",
            "takes {} K to {:.1f} mired; allowed is {:.1f} to {:.1f} mired, which is {} to {} K",
            lamp.temperature_k, mired, fewest_mired, most_mired, highest_temperature_k,
            lowest_temperature_k);
}

void check_pulse(const Checks& checks, TableRef ref, const Pulse& pulse) {
    check_inner(checks, ref, "pulse", {"per_minute", "on_s", "first_s"}, {"per_minute", "on_s"});
    if (pulse.per_minute && pulse.on_s && *pulse.on_s > pulse.period_s())
        checks.refuse_value(
            ref, "pulse.on_s",
            "is {} s, but the next flash begins after {:.4g} s; allowed is up to that", *pulse.on_s,
            pulse.period_s());
}

/// What is tied to a drone can't follow a place.
void check_mount(const Checks& checks, TableRef ref, const Lamp& lamp) {
    if (lamp.mount != Mount::fixed || !checks.map.is_sound(ref, "aim")) return;
    const auto* word = std::get_if<AimWord>(&lamp.aim);
    if (std::holds_alternative<AimAtSubject>(lamp.aim) || (word && *word == AimWord::centre))
        checks.refuse_value(ref, "aim",
                            "can't be followed by a lamp whose mount is \"fixed\"; allowed is "
                            "\"down\", \"ahead\", or a direction to the right, ahead, up");
}

void check_standing(const Checks& checks, TableRef ref, const Lamp& lamp) {
    if (!checks.map.has(ref, "position_m")) return;
    for (const std::string_view key : {"offset_m", "hang_m", "mount"})
        if (checks.map.has(ref, key))
            checks.refuse_key(ref, key,
                              "needs a drone, but the lamp has a position_m and stands; leave it "
                              "out");
    if (lamp.position_m) check_above_ground(checks, ref, *lamp.position_m);
    const auto* word = std::get_if<AimWord>(&lamp.aim);
    if (word && *word != AimWord::down)
        checks.refuse_value(ref, "aim",
                            "needs a flight, but the lamp has a position_m and stands; allowed is "
                            "\"down\", a subject's name, or a direction of 3 numbers");
}

}  // namespace

void check_lamps(const Checks& checks) {
    for (std::size_t i = 0; i < checks.shoot.lamps.size(); ++i) {
        const Lamp& lamp = checks.shoot.lamps[i];
        check_gel(checks, {"lamp", i}, lamp);
        check_pulse(checks, {"lamp", i}, lamp.pulse);
        check_mount(checks, {"lamp", i}, lamp);
        check_standing(checks, {"lamp", i}, lamp);
    }
}

}  // namespace lampflight
