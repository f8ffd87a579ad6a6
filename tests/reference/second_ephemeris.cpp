#include "tests/reference/second_ephemeris.h"

#include <cmath>

#include <libnova/libnova.h>

#include "scene/basics/angle.h"

namespace lampflight {
namespace {

double jd_of(double unix_s) {
    return 2440587.5 + unix_s / 86400.0;
}

double ephemeris_jd(double unix_s) {
    return jd_of(unix_s + clock_behind_s(unix_s));
}

Seen seen_of(const ln_hrz_posn& horizon) {
    return {horizon.alt, std::fmod(horizon.az + 180.0, 360.0)};  // counts from the south
}

Vec3 vector_of(double longitude_deg, double latitude_deg) {
    const double longitude = radians(longitude_deg), latitude = radians(latitude_deg);
    return {std::cos(latitude) * std::cos(longitude), std::cos(latitude) * std::sin(longitude),
            std::sin(latitude)};
}

Vec3 turned_about_x(const Vec3& v, double angle_deg) {
    const double c = std::cos(radians(angle_deg)), s = std::sin(radians(angle_deg));
    return {v.x, c * v.y - s * v.z, s * v.y + c * v.z};
}

Vec3 turned_about_z(const Vec3& v, double angle_deg) {
    const double c = std::cos(radians(angle_deg)), s = std::sin(radians(angle_deg));
    return {c * v.x - s * v.y, s * v.x + c * v.y, v.z};
}

ln_equ_posn equatorial_of(const Vec3& v) {
    return {degrees(std::atan2(v.y, v.x)), degrees(std::asin(v.z / glm::length(v)))};
}

// Positions of sun and moon are counted from the earth's centre and on the equinox of 2000: without
// precession they drift off by just that. The parallax is found here from WGS 84 by plain
// subtraction.
SeenFar from_place(const Place& place, double unix_s, ln_equ_posn geocentric, double distance_km) {
    constexpr double a_km = 6378.137, b_km = 6356.752;  // WGS 84
    const double u = std::atan(b_km / a_km * std::tan(radians(place.latitude_deg)));
    const double axial_km = b_km * std::sin(u), off_axis_km = a_km * std::cos(u);
    const double jd = jd_of(unix_s);
    ln_equ_posn of_date;
    ln_get_equ_prec(&geocentric, jd, &of_date);
    const double hour_rad = radians(15.0 * ln_get_apparent_sidereal_time(jd) + place.longitude_deg);
    const Vec3 towards_km =
        distance_km * vector_of(of_date.ra, of_date.dec) -
        Vec3(off_axis_km * std::cos(hour_rad), off_axis_km * std::sin(hour_rad), axial_km);
    ln_equ_posn moved = equatorial_of(towards_km);
    ln_lnlat_posn observer{place.longitude_deg, place.latitude_deg};
    ln_hrz_posn horizon;
    ln_get_hrz_from_equ(&moved, &observer, jd, &horizon);
    return {seen_of(horizon), glm::length(towards_km)};
}

}  // namespace

SeenFar second_sun(const Place& place, double unix_s) {
    ln_equ_posn sun;
    ln_get_solar_equ_coords(ephemeris_jd(unix_s), &sun);
    return from_place(place, unix_s, sun,
                      149597870.7 * ln_get_earth_solar_dist(ephemeris_jd(unix_s)));
}

SeenFar second_moon(const Place& place, double unix_s) {
    ln_equ_posn moon;
    ln_get_lunar_equ_coords(ephemeris_jd(unix_s), &moon);
    return from_place(place, unix_s, moon, ln_get_lunar_earth_dist(ephemeris_jd(unix_s)));
}

Seen second_star(const Place& place, double unix_s, double ra_deg, double dec_deg) {
    ln_equ_posn of_2000{ra_deg, dec_deg}, mean;
    ln_get_equ_prec(&of_2000, ephemeris_jd(unix_s), &mean);
    // Nutation: to the ecliptic, on along it, and back by the true obliquity.
    ln_nutation nutation;
    ln_get_nutation(ephemeris_jd(unix_s), &nutation);
    const Vec3 along = turned_about_z(
        turned_about_x(vector_of(mean.ra, mean.dec), -nutation.ecliptic), nutation.longitude);
    ln_equ_posn of_date =
        equatorial_of(turned_about_x(along, nutation.ecliptic + nutation.obliquity));
    const double equinoxes_h = nutation.longitude * std::cos(radians(nutation.ecliptic)) / 15.0;
    ln_lnlat_posn observer{place.longitude_deg, place.latitude_deg};
    ln_hrz_posn horizon;
    ln_get_hrz_from_equ_sidereal_time(
        &of_date, &observer, ln_get_mean_sidereal_time(jd_of(unix_s)) + equinoxes_h, &horizon);
    return seen_of(horizon);
}

double apart_deg(const Seen& one, const Seen& other) {
    const Vec3 a = direction_of(radians(one.bearing_deg), radians(one.altitude_deg));
    const Vec3 b = direction_of(radians(other.bearing_deg), radians(other.altitude_deg));
    return degrees(std::atan2(glm::length(glm::cross(a, b)), glm::dot(a, b)));
}

}  // namespace lampflight
