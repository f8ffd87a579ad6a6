// What `check` finds out about a shoot, as plain values.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "scene/cautions/cautions.h"
#include "scene/shoot/framing.h"
#include "scene/shoot/shoot.h"
#include "scene/sky/evening.h"
#include "scene/sky/night_sky.h"

namespace lampflight {

struct FlightReport {
    std::string name;
    double length_m;
    double lap_s;
    double speed_m_s;  ///< mean over the flight
    double top_speed_m_s;
    double top_acceleration_m_s2;
    double airborne_s;
    std::optional<double> closure_deg;  ///< minus: gap; nothing for a shape that does not close
    Framing framing;
};

struct LampReport {
    std::string name;
    double lit_s;                        ///< how long it burns while the shutter is open
    std::optional<std::size_t> flashes;  ///< of a beacon
};

/// What hangs over the place as a take's shutter opens.
struct SkyReport {
    Moment when;
    NightSky sky;
    double horizontal_lx;  ///< on open level ground, from all of it
};

struct PlaceReport {
    Place place;
    SkyReport first;  ///< of the first take
    Evening evening;
};

struct TakeReport {
    std::string name;
    ExposureSettings settings;
    std::vector<FlightReport> flights;
    std::vector<LampReport> lamps;
    std::optional<SkyReport> sky{};  ///< with a place
};

struct CheckReport {
    std::string title;
    Vec2 field_of_view_deg;
    std::vector<TakeReport> takes;
    std::vector<Caution> cautions;  ///< worst first
    std::optional<PlaceReport> place{};
};

CheckReport check_report(const PlacedShoot& shoot);

/// "sinks through", "stays above", "stays below".
const char* passing_word(Passing passing);

/// "note", "care", "danger".
const char* level_word(CautionLevel level);

/// Tables to read.
std::string check_text(const CheckReport& report);

/// One JSON object, ending in a newline. Names are a contract: added to, never renamed.
std::string check_json(const CheckReport& report);

}  // namespace lampflight
