#include <string_view>

#include "scene/basics/colour.h"
#include "scene/basics/spectral_locus.h"
#include "scene/keys/key_table.h"
#include "scene/reader/check_shoot.h"

namespace lampflight {
namespace {

/// Colour is told in one way: as a temperature, which gels shift, a dominant wavelength, or x and
/// y.
void check_colour(const Checks& checks, TableRef ref, const Lamp& lamp) {
    const auto refuse_beside = [&](std::string_view stated, std::string_view other) {
        if (checks.map.has(ref, stated) && checks.map.has(ref, other))
            checks.refuse_key(ref, other, "stands beside \"{}\"; allowed is one of them", stated);
    };
    for (const std::string_view stated : {"dominant_nm", "chromaticity_xy"})
        for (const std::string_view other : {"temperature_k", "gel.shift_mired"})
            refuse_beside(stated, other);
    refuse_beside("dominant_nm", "chromaticity_xy");
    if (checks.map.has(ref, "purity") && !checks.map.has(ref, "dominant_nm"))
        checks.refuse_key(ref, "purity", "needs a \"dominant_nm\"; required is {}",
                          allowed_text(*find_key("lamp", "dominant_nm")));
    if (checks.map.is_sound(ref, "chromaticity_xy") && lamp.chromaticity_xy &&
        !is_light(*lamp.chromaticity_xy))
        checks.refuse_value(ref, "chromaticity_xy",
                            "is [{}, {}], which no light has; allowed is on or within the spectral "
                            "locus, like [0.31, 0.33]",
                            lamp.chromaticity_xy->x, lamp.chromaticity_xy->y);
}

void check_gel(const Checks& checks, TableRef ref, const Lamp& lamp) {
    const double mired = 1e6 / lamp.temperature_k + lamp.gel.shift_mired;
    constexpr double fewest_mired = 1e6 / highest_temperature_k;
    constexpr double most_mired = 1e6 / lowest_temperature_k;
    const bool coloured = lamp.dominant_nm || lamp.chromaticity_xy;
    if (!coloured && checks.map.all_sound(ref, {"temperature_k", "gel.shift_mired"}) &&
        (mired < fewest_mired || mired > most_mired))
        checks.refuse_value(
            ref, "gel.shift_mired",
            "takes {} K to {:.1f} mired; allowed is {:.1f} to {:.1f} mired, which is {} to {} K",
            lamp.temperature_k, mired, fewest_mired, most_mired, highest_temperature_k,
            lowest_temperature_k);
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
        check_colour(checks, {"lamp", i}, lamp);
        check_gel(checks, {"lamp", i}, lamp);
        check_inner(checks, {"lamp", i}, "pulse", {"per_minute", "on_s", "first_s"},
                    {"per_minute", "on_s"});
        check_flash(checks, {"lamp", i}, "pulse", lamp.pulse);
        check_mount(checks, {"lamp", i}, lamp);
        check_standing(checks, {"lamp", i}, lamp);
    }
}

}  // namespace lampflight
