#include "renderer/air/atmosphere.h"

#include <algorithm>
#include <cmath>

#include <tbb/global_control.h>

#include "renderer/air/phase.h"
#include "renderer/sky/night_dome.h"
#include "renderer/sky/sky.h"
#include "scene/basics/angle.h"
#include "scene/basics/vector.h"
#include "scene/sky/celestial.h"
#include "scene/sky/natural_light.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

NightSky sun_at(double altitude_deg, double clear_lx) {
    NightSky night;
    night.sun.altitude_deg = altitude_deg;
    night.sun.direction = direction_of(radians(270.0), radians(altitude_deg));
    night.sun.clear_lx = clear_lx;
    night.night_mag_arcsec2 = 40.0;
    return night;
}

Rgb seen(const Sky& sky, double bearing_deg, double altitude_deg) {
    return Rgb(
        sky.luminance_cd_m2(glm::vec3(direction_of(radians(bearing_deg), radians(altitude_deg)))));
}

/// Disc and sky on level ground, by polar steps of another grid than the table's own.
double received_lx(const Sky& sky) {
    double sum = 0.0;
    for (int row = 0; row < 360; ++row)
        for (int column = 0; column < 360; ++column) {
            const double altitude_rad = 0.5 * pi * (row + 0.5) / 360.0;
            sum += luminance(seen(sky, column + 0.5, degrees(altitude_rad))) *
                   std::sin(altitude_rad) * std::cos(altitude_rad) * (0.5 * pi / 360.0) *
                   radians(1.0);
        }
    for (const SunMoonDisc& disc : sky.direct())
        sum += luminance(Rgb(disc.normal_lx)) *
               mean_sine_above(static_cast<double>(disc.direction.z),
                               static_cast<double>(disc.radius_rad * disc.flattening));
    return sum;
}

/// The air of Hillaire 2020 at one wavelength, along a ray from sea level to space.
double through_hillaires_air(double wavelength_nm, double zenith_deg) {
    const AirColumns columns = columns_to_space({}, 0.0, std::cos(radians(zenith_deg)));
    return std::exp(-(rayleigh_per_m(wavelength_nm) * static_cast<double>(columns.gas) +
                      4.44e-6 * static_cast<double>(columns.haze) +
                      ozone_per_m(wavelength_nm) * static_cast<double>(columns.ozone)));
}

}  // namespace

// Bruneton 2017 and Hillaire 2020, published sample code of both.
TEST_CASE("atmosphere: gas, ozone and sunlight by wavelength") {
    const double nm[] = {680.0, 550.0, 440.0};
    const double gas[] = {5.80234e-6, 1.35578e-5, 3.31e-5};
    const double ozone[] = {6.49717e-7, 1.8809e-6, 8.50167e-8};
    const double sun[] = {1.474, 1.8504, 1.91198};
    for (int i = 0; i < 3; ++i) {
        CHECK_RELATIVE(rayleigh_per_m(nm[i]), gas[i], 1e-4);
        CHECK_RELATIVE(ozone_per_m(nm[i]), ozone[i], 1e-3);
        CHECK_RELATIVE(solar_w_m2_nm(nm[i]), sun[i], 1e-9);
    }
}

// Numerical integration, apart from this program, of the coefficients of Hillaire 2020.
TEST_CASE("atmosphere: transmittance to space") {
    const double nm[] = {680.0, 550.0, 440.0};
    const double zenith[] = {0.940359, 0.867616, 0.76231};
    const double at_80[] = {0.71294, 0.45938, 0.22163};
    const double at_90[] = {0.10643, 0.0095798, 5.2071e-5};
    for (int i = 0; i < 3; ++i) {
        CHECK_RELATIVE(through_hillaires_air(nm[i], 0.0), zenith[i], 3e-4);
        CHECK_RELATIVE(through_hillaires_air(nm[i], 80.0), at_80[i], 2e-3);
        CHECK_RELATIVE(through_hillaires_air(nm[i], 90.0), at_90[i], 5e-3);
    }
}

TEST_CASE("atmosphere: phase functions") {
    // Bruneton & Neyret 2008, equation 2; ahead and back the lobes are (1 + g) / (1 - g)^2 and
    // (1 - g) / (1 + g)^2 over the sphere.
    const double cosine[] = {1.0, 0.0, -1.0};
    const double gas[] = {0.11936621, 0.059683104, 0.11936621};
    for (int i = 0; i < 3; ++i) CHECK_RELATIVE(rayleigh_phase(cosine[i]), gas[i], 1e-6);
    CHECK_RELATIVE(lobe_phase(1.0, 0.5), 1.5 / 0.25 / (4.0 * pi), 1e-9);
    CHECK_RELATIVE(lobe_phase(-1.0, 0.5), 0.5 / 2.25 / (4.0 * pi), 1e-9);

    double all = 0.0, mean_cosine = 0.0;
    constexpr int steps = 20000;
    for (int i = 0; i < steps; ++i) {
        const double angle = pi * (i + 0.5) / steps;
        const double share = 2.0 * pi * std::sin(angle) * haze_phase(std::cos(angle)) * pi / steps;
        all += share;
        mean_cosine += share * std::cos(angle);
        CHECK(haze_phase(std::cos(angle)) >= haze_peak(std::cos(angle)));
    }
    CHECK_RELATIVE(all, 1.0, 1e-5);
    CHECK_WITHIN(mean_cosine, 0.7, 0.02);  // haze over land, from memory
}

// Krisciunas & Schaefer 1991 (PASP 103, 1033): moonlight in haze falls as 10^(-rho / 40 deg).
TEST_CASE("atmosphere: haze about a moon falls off as measured") {
    const auto haze = [](double off_deg) { return haze_phase(std::cos(radians(off_deg))); };
    for (const double off_deg : {10.0, 15.0, 20.0, 25.0, 40.0, 50.0})
        CHECK_RELATIVE(haze(off_deg) / haze(30.0), std::pow(10.0, (30.0 - off_deg) / 40.0), 0.2);
    // Within 10 degrees it climbs faster than that (their law there, the inverse square, has the
    // scatter of a telescope in it).
    CHECK(haze(1.0) > 5.0 * haze(10.0));
}

TEST_CASE("atmosphere: light through the table of columns is that of the integral") {
    const SunThroughAir air(air_optics(40.0, 700.0));
    for (const double altitude_deg : {2.0, 10.0, 45.0}) {
        const double altitude_rad = radians(altitude_deg);
        const Bands tabled = air.towards_sun(1500.0, altitude_rad + dip_rad(1500.0));
        const Bands straight =
            transmittance(air.air(), columns_to_space(air.air(), 1500.0, std::sin(altitude_rad)));
        for (std::size_t band = 0; band < band_count; ++band)
            CHECK_WITHIN(static_cast<double>(tabled[band]), static_cast<double>(straight[band]),
                         5e-3);
    }
    // In the Earth's shadow there is none.
    CHECK(air.towards_sun(1500.0, radians(-3.0) + dip_rad(1500.0))[6] == 0.0f);
}

TEST_CASE("atmosphere: twilight and disc lay the stated light on level ground") {
    const double altitude_deg[] = {2.0, 0.0, -4.0, -6.0, -10.0, -16.0};
    const double clear_lx[] = {1800.0, 750.0, 30.0, 3.4, 0.043, 0.0012};
    for (int i = 0; i < 6; ++i)
        CHECK_RELATIVE(received_lx(Sky(sun_at(altitude_deg[i], clear_lx[i]))), clear_lx[i], 0.01);
    NightSky clouded = sun_at(2.0, 1800.0);
    clouded.cloud_share = 1.0;
    const Sky grey(clouded);
    CHECK_RELATIVE(received_lx(grey), 0.25 * 1800.0, 0.01);  // Kasten & Czeplak 1980
    CHECK(grey.direct().empty());
    CHECK_RELATIVE(luminance(seen(grey, 0.0, 90.0)), 3.0 * luminance(seen(grey, 0.0, 0.0)), 0.01);
}

// Ozone makes the zenith bluer while the sun sinks: Hulburt 1953 (J. Opt. Soc. Am. 43), from
// memory.
TEST_CASE("atmosphere: colours and shadow of dusk") {
    double before = 0.0;
    for (const double altitude_deg : {0.0, -2.0, -4.0, -6.0}) {
        const Sky sky(sun_at(altitude_deg, 10.0));
        const Rgb zenith = seen(sky, 0.0, 90.0);
        CHECK(zenith.b / zenith.r > before);
        before = zenith.b / zenith.r;
        const Rgb glow = seen(sky, 270.0, 1.5);
        CHECK(glow.r > 1.4 * glow.b);
    }
    // The Earth's shadow stands below the brighter belt opposite the sun.
    const Sky sky(sun_at(-2.0, 190.0));
    CHECK(luminance(seen(sky, 90.0, 1.0)) < 0.6 * luminance(seen(sky, 90.0, 10.0)));
}

// From minute to minute (the sun sinks a quarter of a degree in one at the most) the sky's level
// falls as the published light does, and neither a place's level nor its colour does so by jerks:
// the change of a minute is that of the minute before but for these stops.
TEST_CASE("atmosphere: no jump from minute to minute from +2 to -18.5 deg") {
    struct Place {
        double bearing_deg, altitude_deg;
        double jerk, colour_jerk;
    };
    const Place places[] = {{270.0, 0.3, 0.16, 0.45},  // where the sun sets
                            {270.0, 3.0, 0.07, 0.12}, {270.0, 12.0, 0.08, 0.12},
                            {300.0, 3.0, 0.06, 0.07}, {0.0, 3.0, 0.05, 0.06},
                            {0.0, 45.0, 0.04, 0.07},  {90.0, 0.5, 0.04, 0.06},
                            {90.0, 3.0, 0.04, 0.07},  {90.0, 8.0, 0.05, 0.06},
                            {90.0, 20.0, 0.05, 0.06}, {0.0, 90.0, 0.04, 0.08}};
    constexpr std::size_t count = std::size(places);
    NightSky night;
    const Atmosphere air = atmosphere_of(night);
    const auto stops = [](double one, double other) { return std::log2(one / other); };
    std::array<std::vector<glm::dvec3>, count> all;  // stops of level, blue and red over green
    std::vector<double> level_lx;
    for (double altitude_deg = 2.5; altitude_deg >= -19.0; altitude_deg -= 0.25) {
        night.sun.altitude_deg = altitude_deg;
        night.sun.direction =
            direction_of(radians(270.0), radians(refracted_altitude_deg(altitude_deg, 0.0)));
        night.sun.clear_lx = sun_alone_lx(altitude_deg);
        const Sky sky(night, air);
        level_lx.push_back(received_lx(sky));
        for (std::size_t i = 0; i < count; ++i) {
            const Rgb here = seen(sky, places[i].bearing_deg, places[i].altitude_deg);
            all[i].push_back(
                {std::log2(luminance(here)), stops(here.b, here.g), stops(here.r, here.g)});
        }
    }
    for (std::size_t i = 0; i < count; ++i)
        for (std::size_t k = 2; k < level_lx.size(); ++k) {
            CAPTURE(places[i].bearing_deg);
            CAPTURE(places[i].altitude_deg);
            CAPTURE(2.5 - 0.25 * static_cast<double>(k));
            const glm::dvec3 now = all[i][k] - all[i][k - 1];
            const glm::dvec3 before = all[i][k - 1] - all[i][k - 2];
            CHECK_WITHIN(now.x, before.x, places[i].jerk);
            CHECK_WITHIN(now.y, before.y, places[i].colour_jerk);
            CHECK_WITHIN(now.z, before.z, places[i].colour_jerk);
            // Nowhere faster than a stop in a minute and a half, but where the sun itself goes
            // down.
            CHECK(now.x > (i == 0 ? -0.9 : -0.67));
            CHECK(now.x < 0.01);
        }
}

TEST_CASE("atmosphere: no seam along the sky") {
    const Atmosphere air = atmosphere_of({});
    for (const double altitude_deg : {1.0, -0.5, -4.0, -9.0, -15.0}) {
        NightSky night = sun_at(altitude_deg, 1.0);
        const Sky sky(night, air);
        CAPTURE(altitude_deg);
        for (const double up_deg : {0.5, 3.0, 12.0, 45.0, 80.0})
            for (double bearing_deg = 0.0; bearing_deg < 360.0; bearing_deg += 3.7) {
                const double here = luminance(seen(sky, bearing_deg, up_deg));
                const double last = luminance(seen(sky, bearing_deg - 0.5, up_deg));
                const double next = luminance(seen(sky, bearing_deg + 0.5, up_deg));
                // Even curvature: within 8 degrees of the sun its glow has a sharp top.
                const double near = std::abs(bearing_deg - 270.0) < 8.0 ? 0.07 : 0.009;
                CHECK_WITHIN(last + next, 2.0 * here, near * here);
            }
        CHECK_WITHIN(seen(sky, -0.001, 20.0), seen(sky, 0.001, 20.0), 1e-4);  // none at north
    }
}

TEST_CASE("atmosphere: same bits for any number of threads") {
    const auto made = [](std::size_t threads) {
        const tbb::global_control limit(tbb::global_control::max_allowed_parallelism, threads);
        const NightSky night = sun_at(-5.0, 10.0);
        return night_dome(night, atmosphere_of(night)).table;
    };
    const SkyTable one = made(1);
    const SkyTable two = made(2);
    int unlike = 0;
    for (int row = 0; row < SkyTable::rows; ++row)
        for (int column = 0; column <= SkyTable::columns; ++column)
            unlike += one.node(row, column) != two.node(row, column);
    CHECK(unlike == 0);
}

// Magnitudes to luminance: 10.8e4 * 10^(-0.4 m), printed with the example 16.60 -> 2.474e-2.
TEST_CASE("atmosphere: the night's own light at the zenith") {
    CHECK_RELATIVE(night_luminance_cd_m2(16.6), 0.02474137, 1e-6);
    NightSky night;
    night.night_mag_arcsec2 = 21.6;
    const Sky sky(night);
    CHECK_RELATIVE(luminance(seen(sky, 0.0, 90.0)), 0.0002474137, 1e-3);
    CHECK(luminance(seen(sky, 0.0, 10.0)) > 1.5 * luminance(seen(sky, 0.0, 90.0)));
    CHECK_RELATIVE(received_lx(sky), night_lx(21.6), 0.01);

    night.town = TownGlow{.bearing_deg = 120.0, .horizontal_lx = 0.01};
    const Sky glowing(night);
    CHECK_RELATIVE(received_lx(glowing) - received_lx(sky), 0.01, 0.01);
    CHECK(luminance(seen(glowing, 120.0, 5.0)) > 5.0 * luminance(seen(glowing, 300.0, 5.0)));
}

// Krisciunas & Schaefer 1991: 1155.7 nanolambert, 3.679e-3 cd/m2, with moon and view both 45 deg
// high, 90 deg apart, at full moon. A factor of two: their fit is good to a fifth at one mountain
// of k = 0.172, and 0.2 lx from a full moon there is a round figure.
TEST_CASE("atmosphere: sky of the full moon") {
    NightSky night;
    night.night_mag_arcsec2 = 40.0;
    night.moon.altitude_deg = 45.0;
    night.moon.direction = direction_of(radians(180.0), radians(45.0));
    night.moon.clear_lx = 0.2;
    const Sky sky(night);
    const double level = luminance(seen(sky, 0.0, 45.0));
    CHECK(level > 0.5 * 0.003679);
    CHECK(level < 2.0 * 0.003679);
    REQUIRE(sky.direct().size() == 1);
    CHECK(luminance(Rgb(sky.direct()[0].normal_lx)) > 0.15);
}

TEST_CASE("atmosphere: visibility and height set the air") {
    // A black thing at the end of the visibility keeps a fiftieth of its contrast (Koschmieder).
    for (const double visibility_km : {5.0, 40.0, 100.0}) {
        const AirOptics air = air_optics(visibility_km, 0.0);
        const double taken =
            static_cast<double>(optical_depth(air, 5, {1e3f, 1e3f, 0.0f})) * visibility_km;
        CHECK_RELATIVE(taken, 3.912, 0.05);  // the band is at 540 nm, the law for 550
    }
    const auto zenith = [](double visibility_km, double elevation_m) {
        const AirOptics air = air_optics(visibility_km, elevation_m);
        return columns_to_space(air, 0.0, 1.0);
    };
    // Gas: a column of 8 km at sea level's density times exp(-h / 8 km), Hillaire 2020.
    const AirOptics high = air_optics(40.0, 2400.0);
    CHECK_RELATIVE(static_cast<double>(high.gas[5] * zenith(40.0, 2400.0).gas),
                   rayleigh_per_m(540.0) * 8000.0 * std::exp(-0.3), 1e-3);
    // The ozone stands above all of it: 15 km of a tent's peak.
    for (const double elevation_m : {0.0, 2400.0, 8000.0})
        CHECK_RELATIVE(static_cast<double>(zenith(40.0, elevation_m).ozone), 15e3, 2e-3);
}

TEST_CASE("atmosphere: haze makes the glow about the moon") {
    const auto level = [](double visibility_km, double off_deg) {
        NightSky night;
        night.night_mag_arcsec2 = 40.0;
        night.visibility_km = visibility_km;
        night.moon.altitude_deg = 45.0;
        night.moon.direction = direction_of(radians(180.0), radians(45.0));
        night.moon.clear_lx = 0.2;
        const Sky sky(night);
        CHECK_RELATIVE(received_lx(sky), 0.2, 0.01);
        return luminance(seen(sky, 180.0, 45.0 + off_deg));
    };
    const double clear = level(150.0, 2.0) / level(150.0, 40.0);
    const double hazy = level(15.0, 2.0) / level(15.0, 40.0);
    CHECK(hazy > 2.0 * clear);
}
