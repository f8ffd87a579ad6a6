// What can be told of a shoot without a picture, as plain values.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "scene/cautions/cautions.h"
#include "scene/planning/flight_figures.h"
#include "scene/planning/own_light_figures.h"
#include "scene/shoot/battery.h"
#include "scene/shoot/shoot.h"
#include "scene/sky/evening.h"
#include "scene/sky/night_sky.h"

namespace lampflight {

struct LampFigures {
    std::string name;
    double lit_s;                        ///< how long it burns while the shutter is open
    std::optional<std::size_t> flashes;  ///< of a beacon
};

/// What hangs over the place as a take's shutter opens.
struct SkyFigures {
    Moment when;
    NightSky sky;
    double horizontal_lx;  ///< on open level ground, from all of it
};

struct PlaceFigures {
    Place place;
    SkyFigures first;  ///< of the first take
    Evening evening;
};

struct TakeFigures {
    std::string name;
    ExposureSettings settings;
    std::vector<FlightFigures> flights;
    std::vector<LampFigures> lamps;
    std::optional<SkyFigures> sky{};  ///< with a place
};

struct ShootFigures {
    std::string title;
    Vec2 field_of_view_deg;
    std::vector<TakeFigures> takes;
    std::vector<Caution> cautions;  ///< worst first
    std::optional<PlaceFigures> place{};
    std::vector<DroneBattery> batteries{};
    std::vector<OwnLightFigures> own_lights{};  ///< those that burn in some take
};

ShootFigures shoot_figures(const PlacedShoot& shoot);

}  // namespace lampflight
