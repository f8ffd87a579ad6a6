// The evening's events against tables made with another library.
#include "scene/sky/evening.h"

#include <algorithm>
#include <cmath>
#include <initializer_list>

#include "scene/basics/angle.h"
#include "scene/sky/celestial.h"
#include "tests/reference/second_ephemeris.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

double utc_s(int year, int month, int day, int hour, int minute, int second) {
    return midnight_unix_s(year, month, day) + 3600.0 * hour + 60.0 * minute + second;
}

}  // namespace

TEST_CASE("Sunset and the sun's depths, by astropy 5.2.1 and its root finder") {
    const Place alps{45.0, 7.0, 0.0, {}}, desert{36.5, -117.0, 0.0, {}};
    const auto check = [](const Evening& evening, std::initializer_list<double> expected) {
        REQUIRE(evening.sun.size() == expected.size());
        for (std::size_t i = 0; i < expected.size(); ++i) {
            CAPTURE(evening.sun[i].altitude_deg);
            CHECK(evening.sun[i].passing == Passing::sinks_through);
            CHECK_WITHIN(evening.sun[i].unix_s, expected.begin()[i], 5.0);
        }
    };
    // By day, by night and in the small hours it is the same evening.
    for (const double hour : {13.0, 17.0, 26.0})
        check(evening_of(alps, utc_s(2024, 11, 13, 0, 0, 0) + 3600.0 * hour),
              {utc_s(2024, 11, 13, 16, 4, 46), utc_s(2024, 11, 13, 16, 24, 18),
               utc_s(2024, 11, 13, 16, 36, 24), utc_s(2024, 11, 13, 16, 48, 21),
               utc_s(2024, 11, 13, 17, 11, 51), utc_s(2024, 11, 13, 17, 46, 25)});
    check(evening_of(desert, utc_s(2022, 10, 9, 1, 46, 0)),
          {utc_s(2022, 10, 9, 1, 21, 8), utc_s(2022, 10, 9, 1, 36, 58),
           utc_s(2022, 10, 9, 1, 46, 56), utc_s(2022, 10, 9, 1, 56, 53),
           utc_s(2022, 10, 9, 2, 16, 46), utc_s(2022, 10, 9, 2, 46, 40)});
}

TEST_CASE("Which evening a moment belongs to") {
    const Place alps{45.0, 7.0, 0.0, {}};
    const double sunset_s = utc_s(2024, 11, 13, 16, 4, 46);
    const auto sunset_of = [&](double unix_s) { return evening_of(alps, unix_s).sun[0].unix_s; };
    CHECK_WITHIN(sunset_of(utc_s(2024, 11, 13, 8, 0, 0)), sunset_s, 5.0);  // a morning: the coming
    CHECK_WITHIN(sunset_of(utc_s(2024, 11, 14, 5, 0, 0)), sunset_s, 5.0);  // before dawn: the last
    CHECK(sunset_of(utc_s(2024, 11, 14, 8, 0, 0)) > sunset_s + 80000.0);
}

TEST_CASE("Where the sun does not set, or does not rise") {
    const Place north{69.65, 18.96, 0.0, {}};
    const Evening june = evening_of(north, utc_s(2026, 6, 21, 20, 0, 0));
    CHECK(june.sun.front().passing == Passing::stays_above);
    CHECK(june.sun.back().passing == Passing::stays_above);
    // At midnight it stands at latitude - (90 - 23.44), the obliquity from the Almanac.
    CHECK_WITHIN(sun_seen(north, june.midnight_s).altitude_deg, 69.65 + 23.44 - 90.0, 0.02);
    const Evening december = evening_of(north, utc_s(2026, 12, 21, 16, 0, 0));
    CHECK(december.sun[0].passing == Passing::stays_below);
    CHECK(december.sun[1].passing == Passing::sinks_through);  // noon is at -3.1 deg
    CHECK_WITHIN(sun_seen(north, december.noon_s).altitude_deg, 90.0 - 69.65 - 23.44, 0.02);
    const Place pole{90.0, 0.0, 0.0, {}};
    CHECK(evening_of(pole, utc_s(2026, 6, 21, 12, 0, 0)).sun[0].passing == Passing::stays_above);
    CHECK(evening_of(pole, utc_s(2026, 12, 21, 12, 0, 0)).sun[5].passing == Passing::stays_below);
}

TEST_CASE("Moonrise and moonset, by a second ephemeris") {
    // By its places of the moon and the same convention: the upper edge, seen from the place, 34'
    // under the horizon. Its own table of rises is no measure: it lets the middle of the disc rise
    // at 0.125 deg as seen from the earth's centre, takes the equinox of 2000 for that of the day,
    // and reads between three days' places, so that by its own account the moon then stands between
    // -0.4 and +0.6 deg; up to 256 s from ours.
    const Place alps{45.0, 7.0, 0.0, {}};
    const auto upper_edge_deg = [&](double unix_s) {
        constexpr double radius_km = 1737.4;  // IAU 2015
        const SeenFar moon = second_moon(alps, unix_s);
        return moon.seen.altitude_deg + degrees(std::asin(radius_km / moon.distance_km)) +
               34.0 / 60.0;
    };
    double worst_s = 0.0;
    int events = 0;
    for (int day = 1; day < 29; ++day) {
        CAPTURE(day);
        const Evening evening = evening_of(alps, utc_s(2026, 3, day, 13, 0, 0));
        for (const auto& [time_s, rises] :
             {std::pair{evening.moonrise_s, true}, std::pair{evening.moonset_s, false}}) {
            if (!time_s) continue;  // it comes later every day and so skips one
            double from_s = *time_s - 300.0, to_s = *time_s + 300.0;
            REQUIRE((upper_edge_deg(from_s) < 0.0) == rises);
            REQUIRE((upper_edge_deg(to_s) > 0.0) == rises);
            while (to_s - from_s > 0.05) {
                const double middle_s = 0.5 * (from_s + to_s);
                ((upper_edge_deg(middle_s) < 0.0) == rises ? from_s : to_s) = middle_s;
            }
            worst_s = std::max(worst_s, std::abs(from_s - *time_s));
            ++events;
        }
    }
    CHECK(events >= 54);
    // Found: 2.7 s.
    CAPTURE(worst_s);
    CHECK(worst_s < 5.0);
}
