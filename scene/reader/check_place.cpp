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

void check_air(const Checks& checks) {
    const TableRef ref{"air", 0};
    const Air& air = checks.shoot.air;
    if (air.gust_m_s && checks.map.all_sound(ref, {"wind_m_s", "gust_m_s"}) &&
        *air.gust_m_s < air.wind_m_s)
        checks.refuse_value(ref, "gust_m_s",
                            "is {} m/s, less than the steady wind of {} m/s; allowed is that or "
                            "more",
                            *air.gust_m_s, air.wind_m_s);
    if (checks.map.has(ref, "gust_s") && !checks.map.has(ref, "gust_m_s"))
        checks.refuse_key(ref, "gust_s", "tells of gusts; allowed beside gust_m_s");
    if (checks.map.has(ref, "wind_from_deg") && !checks.map.has(ref, "wind_m_s") &&
        !checks.map.has(ref, "gust_m_s"))
        checks.refuse_key(ref, "wind_from_deg", "tells of wind; allowed beside wind_m_s");
}

}  // namespace lampflight
