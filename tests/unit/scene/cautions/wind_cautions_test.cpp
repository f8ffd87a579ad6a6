// Cautions of wind: more than the drone is made for, and more than it flies through.
#include "tests/unit/scene/cautions/calm_shoot.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

/// A halo at 1.6 m/s by a drone rated for 10 m/s that does 12 m/s through the air.
Shoot blown_shoot(double wind_m_s, std::optional<double> gust_m_s) {
    Shoot shoot = calm_shoot();
    Drone drone;
    drone.name = "heron";
    drone.top_wind_m_s = 10.0;
    shoot.drones = {drone};
    shoot.air.wind_m_s = wind_m_s;
    shoot.air.gust_m_s = gust_m_s;
    shoot.flights.front().limits = {.acceleration_m_s2 = 4.0, .air_m_s = 12.0};
    shoot.flights.front().wind_m_s = lampflight::wind_m_s(shoot.air);
    return shoot;
}

}  // namespace

TEST_CASE("wind and gusts over what a drone is rated for") {
    CHECK_FALSE(mentions(blown_shoot(0.0, std::nullopt), "wind"));
    CHECK_FALSE(mentions(blown_shoot(6.0, 8.0), "wind"));
    CHECK(warns(blown_shoot(10.5, std::nullopt), "wind", CautionLevel::danger,
                "meets a wind of 10.5 m/s, and drone \"heron\" is rated for 10.0 m/s"));
    CHECK(warns(blown_shoot(6.0, 10.2), "wind", CautionLevel::danger, "meets gusts of 10.2 m/s"));
    Shoot unrated = blown_shoot(6.0, 8.0);
    unrated.drones.front().top_wind_m_s.reset();
    CHECK(warns(unrated, "wind", CautionLevel::note, "meets a wind of 8.0 m/s, and nothing says"));
    unrated.drones.clear();
    CHECK(warns(unrated, "wind", CautionLevel::note, "state top_wind_m_s"));
}

TEST_CASE("speed through the air that a drone has, and has not") {
    // With gusts of 11 m/s the halo's 1.6 m/s or so against them come over 12 m/s.
    Shoot shoot = blown_shoot(6.0, 11.0);
    shoot.drones.front().top_wind_m_s = 20.0;
    CHECK(warns(shoot, "wind", CautionLevel::care, "in gusts, and 12.0 m/s is the most"));
    shoot.air.gust_m_s = 10.0;
    CHECK_FALSE(mentions(shoot, "wind"));
    // Gusts 7 m/s over a wind of 2 m/s are more than half of 12 m/s.
    shoot = blown_shoot(2.0, 9.0);
    CHECK(warns(shoot, "wind", CautionLevel::care, "Gusts 7.0 m/s over the steady wind"));
}
