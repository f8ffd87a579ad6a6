#include "scene/sky/celestial.h"

#include <algorithm>
#include <cmath>
#include <initializer_list>
#include <iterator>

#include <erfa.h>
#include <erfam.h>

#include "scene/basics/angle.h"

namespace lampflight {
namespace {

constexpr double day_s = 86400.0;
constexpr double unix_epoch_jd = 2440587.5;
constexpr double au_km = 149597870.7;                 // IAU 2012
constexpr double au_light_s = au_km / 299792.458;     // time of light over it
constexpr double sun_radius_km = 696000.0;            // IAU 1976
constexpr double moon_radius_km = 1737.4;             // IAU 2015
constexpr double first_listed_s = -315619200.0;       // 1960-01-01
constexpr double terrestrial_less_atomic_s = 32.184;  // TT - TAI

/// A date in two parts, as ERFA takes it, so that seconds keep their decimals.
struct Date {
    double day = unix_epoch_jd;
    double rest = 0.0;
};

Date universal(double unix_s) {
    return {unix_epoch_jd, unix_s / day_s};
}

Date terrestrial(double unix_s) {
    return {unix_epoch_jd, (unix_s + clock_behind_s(unix_s)) / day_s};
}

Vec3 vector_of(const double (&v)[3]) {
    return {v[0], v[1], v[2]};
}

double polynomial(double x, std::initializer_list<double> coefficients) {
    double sum = 0.0;
    for (auto c = std::rbegin(coefficients); c != std::rend(coefficients); ++c) sum = sum * x + *c;
    return sum;
}

/// Delta T of Espenak & Meeus for years before 1960.
double early_delta_t_s(double year) {
    if (year < 1920.0)
        return polynomial(year - 1900.0, {-2.79, 1.494119, -0.0598939, 0.0061966, -0.000197});
    if (year < 1941.0) return polynomial(year - 1920.0, {21.20, 0.84493, -0.076100, 0.0020936});
    return polynomial(year - 1950.0, {29.07, 0.407, -1.0 / 233.0, 1.0 / 2547.0});
}

/// Rotation from catalogue axes to axes fixed in the earth.
glm::dmat3 earth_from_icrs(double unix_s) {
    const Date tt = terrestrial(unix_s), ut = universal(unix_s);
    double rows[3][3];
    eraC2t00b(tt.day, tt.rest, ut.day, ut.rest, 0.0, 0.0, rows);
    return glm::transpose(glm::dmat3(vector_of(rows[0]), vector_of(rows[1]), vector_of(rows[2])));
}

/// Rotation from axes fixed in the earth to east, north, up.
glm::dmat3 horizon_from_earth(const Place& place) {
    const double north_rad = radians(place.latitude_deg), east_rad = radians(place.longitude_deg);
    const Vec3 up{std::cos(north_rad) * std::cos(east_rad),
                  std::cos(north_rad) * std::sin(east_rad), std::sin(north_rad)};
    const Vec3 east{-std::sin(east_rad), std::cos(east_rad), 0.0};
    return glm::transpose(glm::dmat3(east, glm::cross(up, east), up));
}

/// Where the place is from the earth's centre, in axes fixed in the earth.
Vec3 site_au(const Place& place) {
    double site_m[3];
    eraGd2gc(ERFA_WGS84, radians(place.longitude_deg), radians(place.latitude_deg),
             place.elevation_m, site_m);
    return vector_of(site_m) / (au_km * 1000.0);
}

/// The earth's own motion and what is seen from its centre, along catalogue axes.
struct Heaven {
    Vec3 sun_au;
    Vec3 moon_au;
    Vec3 earth_velocity;  ///< about the sun's system, as a share of the speed of light
};

Heaven heaven_at(double unix_s) {
    const Date tt = terrestrial(unix_s);
    double about_sun[2][3], about_all[2][3], moon[2][3];
    // The status only tells of dates outside 1900 to 2100.
    (void)eraEpv00(tt.day, tt.rest, about_sun, about_all);
    eraMoon98(tt.day, tt.rest, moon);
    const Vec3 earth_au_day = vector_of(about_all[1]);
    // The moon where it was when its light set out; it goes along with the earth.
    const double moon_light_days = glm::length(vector_of(moon[0])) * au_light_s / day_s;
    const Vec3 moon_au = vector_of(moon[0]) - moon_light_days * (vector_of(moon[1]) + earth_au_day);
    return {-vector_of(about_sun[0]), moon_au, earth_au_day * (au_light_s / day_s)};
}

/// Unit vector to where a body seems to stand for an observer that moves with the earth.
Vec3 aberrated(const Vec3& towards_au, const Heaven& heaven) {
    const Vec3 natural = glm::normalize(towards_au);
    double to[3]{natural.x, natural.y, natural.z}, seen[3];
    const Vec3& v = heaven.earth_velocity;
    double velocity[3]{v.x, v.y, v.z};
    eraAb(to, velocity, glm::length(heaven.sun_au), std::sqrt(1.0 - glm::dot(v, v)), seen);
    return vector_of(seen);
}

Seen seen_towards(const Vec3& direction) {
    return {degrees(std::asin(std::clamp(direction.z, -1.0, 1.0))), degrees(bearing_of(direction))};
}

/// A body seen from the place: how far it is, and where.
struct Sight {
    Seen seen;
    double distance_au;
};

Sight sight_of(const Place& place, double unix_s, const Heaven& heaven, const Vec3& body_au) {
    const glm::dmat3 earth = earth_from_icrs(unix_s);
    const Vec3 towards_au = body_au - glm::transpose(earth) * site_au(place);
    const Vec3 direction = horizon_from_earth(place) * (earth * aberrated(towards_au, heaven));
    return {seen_towards(direction), glm::length(towards_au)};
}

double disc_radius_deg(double radius_km, double distance_au) {
    return degrees(std::asin(radius_km / (distance_au * au_km)));
}

}  // namespace

double clock_behind_s(double unix_s) {
    if (unix_s < first_listed_s) return early_delta_t_s(1970.0 + unix_s / (365.2425 * day_s));
    int year, month, day;
    double share;
    double atomic_less_clock_s = 0.0;
    (void)eraJd2cal(unix_epoch_jd, unix_s / day_s, &year, &month, &day, &share);
    // The status only tells that a year is far ahead of the list; the last leap second then holds.
    (void)eraDat(year, month, day, share, &atomic_less_clock_s);
    return atomic_less_clock_s + terrestrial_less_atomic_s;
}

Seen sun_seen(const Place& place, double unix_s) {
    const Heaven heaven = heaven_at(unix_s);
    return sight_of(place, unix_s, heaven, heaven.sun_au).seen;
}

double sun_radius_deg(double unix_s) {
    return disc_radius_deg(sun_radius_km, glm::length(heaven_at(unix_s).sun_au));
}

MoonSeen moon_seen(const Place& place, double unix_s) {
    const Heaven heaven = heaven_at(unix_s);
    const Sight sight = sight_of(place, unix_s, heaven, heaven.moon_au);
    const Vec3 sun = aberrated(heaven.sun_au, heaven), moon = aberrated(heaven.moon_au, heaven);
    const Vec3 moon_to_sun = glm::normalize(heaven.sun_au - heaven.moon_au);
    return {.seen = sight.seen,
            .lit = 0.5 * (1.0 - glm::dot(glm::normalize(heaven.moon_au), moon_to_sun)),
            .elongation_deg =
                degrees(std::atan2(glm::length(glm::cross(sun, moon)), glm::dot(sun, moon))),
            .distance_km = glm::length(heaven.moon_au) * au_km,
            .radius_deg = disc_radius_deg(moon_radius_km, sight.distance_au)};
}

glm::dmat3 horizon_from_icrs(const Place& place, double unix_s) {
    return horizon_from_earth(place) * earth_from_icrs(unix_s);
}

double refracted_altitude_deg(double airless_altitude_deg, double elevation_m) {
    constexpr double lowest_deg = -1.5, none_below_deg = -5.0;  // a setting disc reaches -1.1
    if (airless_altitude_deg <= none_below_deg) return airless_altitude_deg;
    const double h = std::max(airless_altitude_deg, lowest_deg);
    // ISO 2533: pressure falls as this power of the temperature.
    const double cooled = std::max(0.5, 1.0 - 0.0065 * elevation_m / 288.15);
    const double pressure_hpa = 1010.0 * std::pow(cooled, 5.25588);
    const double air_k = 283.0 - 0.0065 * elevation_m;
    const double standard_deg = 1.02 / 60.0 / std::tan(radians(h + 10.3 / (h + 5.11)));
    const double lift_deg =
        std::max(0.0, standard_deg) * (pressure_hpa / 1010.0) * (283.0 / std::max(150.0, air_k));
    const double kept =
        std::min(1.0, (airless_altitude_deg - none_below_deg) / (lowest_deg - none_below_deg));
    return airless_altitude_deg + kept * lift_deg;
}

}  // namespace lampflight
