// Drones as the scene states them: where they take off, what they can do and carry, how the wind takes
// them, for how long they fly, and which lights of their own they show.
#pragma once

#include <optional>
#include <string>

#include "scene/basics/vector.h"
#include "scene/flights/flight.h"
#include "scene/lamps/lamp.h"

namespace lampflight {

/// Whether a drone's position lights burn or are taped over.
enum class OwnLights { covered, showing };

enum class LightColour { none, white, red, green, blue, amber };

/// Lights by which one sees which way a drone points: to the sides and behind, by 14 CFR 25.1389.
struct PositionLights {
    LightColour left = LightColour::red;
    LightColour right = LightColour::green;
    LightColour behind = LightColour::white;
    double flux_lm = 5.0;  ///< of each (common practice, no source)
    double arm_m = 0.2;    ///< from the drone's middle
};

/// An anti-collision light, on top of the drone; none without a rate.
struct Beacon {
    Pulse pulse{std::nullopt, 0.05};
    double flux_lm = 500.0;  ///< while it is on, all round
    LightColour colour = LightColour::white;
};

struct Drone {
    std::string name;
    Vec3 home_m{0.0};  ///< take-off; its third number is over metre 0
    SpeedLimits limits;
    double mass_kg = 1.0;         ///< ready to fly, without lamps
    double lamp_mass_kg = 0.2;    ///< of lamps with mounts and their batteries
    std::optional<double> payload_kg;  ///< the most that its maker lets it carry
    double drag_area_m2 = 0.015;  ///< frontal area times drag coefficient
    std::optional<double> endurance_min;         ///< hovering without lamps till the battery is empty
    std::optional<double> loaded_endurance_min;  ///< the same with lamps, as measured
    double reserve = 0.25;                       ///< share of the battery with which it has landed
    double transit_m_s = 5.0;                    ///< out to its first flight and back home
    double reset_s = 20.0;                       ///< in the air between two takes
    std::optional<double> top_wind_m_s;          ///< the most wind that its maker lets it fly in
    std::optional<double> return_height_m;       ///< over take-off, at which it comes home by itself
    OwnLights own_lights = OwnLights::covered;
    PositionLights lights;
    Beacon beacon;

    double loaded_kg() const { return mass_kg + lamp_mass_kg; }
};

}  // namespace lampflight
