#include <doctest/doctest.h>

#include <cmath>
#include <numbers>
#include <vector>

#include <GeographicLib/Geodesic.hpp>

#include "scene/flights/files/geo_frame.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

constexpr double deg_rad = std::numbers::pi / 180.0;
const std::vector<double> latitudes_deg{-89.99, -71.0, -33.9, -0.001, 0.0, 12.0, 50.1, 78.2, 89.9};
const std::vector<double> longitudes_deg{-179.9999, -70.0, 0.0, 8.2, 179.9999};

}  // namespace

TEST_CASE("metres about a place have the geodesic's length and bearing at all latitudes") {
    const auto& earth = GeographicLib::Geodesic::WGS84();
    for (const double latitude_deg : latitudes_deg)
        for (const double longitude_deg : longitudes_deg)
            for (const double bearing_deg : {0.0, 63.0, 90.0, 200.0, 315.0})
                for (const double away_m : {0.01, 30.0, 5000.0}) {
                    const GeoFrame frame(latitude_deg, longitude_deg, 100.0);
                    GeoPosition there{0.0, 0.0, 130.0};
                    earth.Direct(latitude_deg, longitude_deg, bearing_deg, away_m,
                                 there.latitude_deg, there.longitude_deg);
                    const Vec3 expected(away_m * std::sin(bearing_deg * deg_rad),
                                        away_m * std::cos(bearing_deg * deg_rad), 30.0);
                    const Vec3 world_m = frame.world_m(there);
                    CHECK_WITHIN(world_m, expected, 1e-6);

                    const GeoPosition back = frame.geodetic(expected);
                    double apart_m = 0.0;
                    earth.Inverse(there.latitude_deg, there.longitude_deg, back.latitude_deg,
                                  back.longitude_deg, apart_m);
                    CHECK(apart_m < 1e-6);
                    CHECK_WITHIN(back.above_sea_m, 130.0, 1e-9);
                    CHECK_WITHIN(frame.world_m(back), world_m, 1e-6);
                }
}

TEST_CASE("near the place, metres are those of the ellipsoid's radii of curvature") {
    // Snyder 1987, USGS Professional Paper 1395, eqs. 4-18 to 4-20: M and N of an ellipsoid; WGS 84
    // has a = 6378137 m and 1/f = 298.257223563 (NIMA TR8350.2, table 3.1).
    const double a_m = 6378137.0, f = 1.0 / 298.257223563, e2 = f * (2.0 - f);
    for (const double latitude_deg : {-60.0, 0.0, 50.1}) {
        const double sine = std::sin(latitude_deg * deg_rad);
        const double w2 = 1.0 - e2 * sine * sine;
        const double along_m = a_m * (1.0 - e2) / std::pow(w2, 1.5);
        const double across_m = a_m / std::sqrt(w2) * std::cos(latitude_deg * deg_rad);
        const GeoFrame frame(latitude_deg, 8.2, 0.0);
        const double step_deg = 1e-5;  // about a metre
        const Vec3 world_m = frame.world_m({latitude_deg + step_deg, 8.2 + 2.0 * step_deg, 12.0});
        CHECK_WITHIN(world_m.x, 2.0 * step_deg * deg_rad * across_m, 1e-5);
        CHECK_WITHIN(world_m.y, step_deg * deg_rad * along_m, 1e-5);
        CHECK_WITHIN(world_m.z, 12.0, 0.0);
    }
}
