#include "scene/lamps/signal_light.h"

#include <cmath>
#include <initializer_list>

#include "tests/within.h"

using namespace lampflight;

// Definition of effective intensity by the IES (Blondel and Rey), worked by hand.
TEST_CASE("a flash looks as strong as its effective intensity") {
    CHECK_RELATIVE(effective_intensity_cd(100.0, 0.05), 20.0, 1e-12);
    CHECK_RELATIVE(effective_intensity_cd(100.0, 0.2), 50.0, 1e-12);
    CHECK_RELATIVE(effective_intensity_cd(100.0, 1.0), 100.0 / 1.2, 1e-12);
}

// 33 CFR 84.15 (COLREG annex I, section 8): intensity for a range of so many nautical miles, with a
// threshold of 2e-7 lx and an atmosphere that passes 0.8 a mile. Printed to two digits, and its
// factor 3.43e6 to three: the range goes with less than the square root of it.
TEST_CASE("a light is seen from as far as the table of navigation lights has it") {
    struct Row {
        double cd, miles;
    };
    constexpr double mile_m = 1852.0;
    const double extinction = -std::log(0.8) / mile_m;
    for (const Row& row : {Row{0.8575, 1.0}, Row{4.2875, 2.0}, Row{12.05859, 3.0},
                           Row{26.79687, 4.0}, Row{52.33765, 5.0}, Row{94.20776, 6.0}})
        CHECK_RELATIVE(seen_from_m(row.cd, extinction), row.miles * mile_m, 1e-3);
    for (const Row& row : {Row{0.9, 1.0}, Row{4.3, 2.0}, Row{12.0, 3.0}, Row{27.0, 4.0},
                           Row{52.0, 5.0}, Row{94.0, 6.0}})
        CHECK_RELATIVE(seen_from_m(row.cd, extinction), row.miles * mile_m, 0.03);
    CHECK_RELATIVE(seen_from_m(8.341035, extinction), 3.0 * 1609.344, 1e-3);
    CHECK(seen_from_m(0.0, extinction) == 0.0);
}

// Koschmieder: contrast falls to 2 % over the meteorological range.
TEST_CASE("air of a visibility passes 2 % over it") {
    for (const double km : {1.0, 13.0, 40.0})
        CHECK_RELATIVE(std::exp(-1e3 * km * extinction_per_m(km)), 0.02, 1e-3);
}

// Arithmetic: a ring of 5 m radius flown in 20 s, pi / 2 m/s.
TEST_CASE("dots lie apart by what is flown from flash to flash") {
    constexpr double speed_m_s = 1.570796327;
    CHECK_RELATIVE(dots_apart_m(speed_m_s, 40.0), 2.3561945, 1e-7);
    CHECK_RELATIVE(dots_apart_m(speed_m_s, 60.0), 1.5707963, 1e-7);
    CHECK_RELATIVE(dots_apart_m(speed_m_s, 100.0), 0.9424778, 1e-7);
}
