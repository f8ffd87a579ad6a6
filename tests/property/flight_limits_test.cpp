// Flights made up at random keep to the limits of their drones, wherever they are measured.
#include "tests/flight_limits.h"

using namespace lampflight;

TEST_CASE("two thousand flights at random stay within their limits") {
    testing::check_random_flights(20250101u, 2000, 150);
}

TEST_CASE("flights at random in the wind go no faster through the air than they can") {
    testing::RandomFlights random(20261130u);
    double most = 0.0;
    int bound = 0;
    for (int round = 0; round < 500; ++round) {
        Flight flight = random.flight();
        const double air_m_s = random.between_decades(0.5, 15.0);
        flight.lap_s.reset();
        if (flight.shape == FlightShape::hover) continue;
        flight.limits.air_m_s = air_m_s;
        flight.wind_m_s = random.between(0.0, 0.95) * air_m_s *
                          direction_of(random.between(0.0, 2.0 * pi));
        const FlightPath path(flight, 20.0);
        REQUIRE(std::isfinite(path.duration_s()));
        double fastest = 0.0;
        for (int i = 0; i <= 300; ++i) {
            const Vec3 velocity = path.velocity_m_s(path.duration_s() * (i + 0.37) / 300.74);
            fastest = std::max(fastest, glm::distance(velocity, flight.wind_m_s) / air_m_s);
        }
        most = std::max(most, fastest);
        bound += fastest > 0.98;
    }
    CHECK(most <= 1.0 + 1e-6);
    CHECK(bound > 100);
}
