// Flights made up at random keep to the limits of their drones, wherever they are measured.
#include "tests/flight_limits.h"

using namespace lampflight;

TEST_CASE("two thousand flights at random stay within their limits") {
    testing::check_random_flights(20250101u, 2000, 150);
}
