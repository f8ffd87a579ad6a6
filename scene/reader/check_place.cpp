// [place], [sky] and [air]: a place sets the light of the sky; without one it is stated.
#include "scene/reader/check_shoot.h"

namespace lampflight {
namespace {

void check_needs_place(const Checks& checks, TableRef ref, std::string_view key) {
    if (checks.map.has(ref, key))
        checks.refuse_key(ref, key, "means nothing without a [place]; allowed with one");
}

}  // namespace

void check_place(const Checks& checks) {
    const TableRef sky{"sky", 0};
    const bool has_place = checks.map.has({"place", 0});
    for (std::string_view key : {"horizontal_lx", "temperature_k", "glow_bearing_deg"})
        if (has_place && checks.map.has(sky, key))
            checks.refuse_key(
                sky, key,
                "stands beside [place], which sets the sky's light; allowed is one of them");
    for (std::string_view key : {"night_mag_arcsec2", "cloud_share", "town.bearing_deg",
                                 "town.horizontal_lx", "want_stops"})
        if (!has_place) check_needs_place(checks, sky, key);
    if (!has_place) check_needs_place(checks, {"air", 0}, "visibility_km");
    check_inner(checks, sky, "town", {"bearing_deg", "horizontal_lx"},
                {"bearing_deg", "horizontal_lx"});
    for (std::size_t i = 0; i < checks.shoot.takes.size() && !has_place; ++i)
        check_needs_place(checks, {"take", i}, "after_s");
}

}  // namespace lampflight
