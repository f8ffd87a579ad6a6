#include "scene/planning/shoot_figures.h"

#include <algorithm>
#include <cmath>

#include "scene/basics/angle.h"
#include "scene/shoot/lit_lamp.h"
#include "scene/shoot/take_moment.h"

namespace lampflight {
namespace {

FlightFigures flight_figures(const Shoot& shoot, const Flight& flight, double shutter_s) {
    const FlightPath path(flight, shutter_s);
    FlightFigures figures{};
    figures.name = flight.name;
    figures.length_m = path.length_m();
    figures.lap_s = path.lap_s();
    figures.speed_m_s = path.speed_m_s();
    figures.top_speed_m_s = path.top_speed_m_s();
    figures.top_acceleration_m_s2 = path.top_acceleration_m_s2();
    figures.airborne_s = std::min(path.duration_s(), shutter_s);
    figures.flown_s = path.duration_s();
    if (closes(flight.shape) && flight.turns >= 1.0) {  // less is an arc, meant to stay open
        figures.closure_deg = closure_deg(flight, path, shutter_s);
        figures.closure_m = flight.radius_m * radians(std::abs(*figures.closure_deg));
    }
    figures.framing = frame_flight(shoot.camera, path, shutter_s);
    return figures;
}

SkyFigures sky_figures(const Shoot& shoot, const Take& take) {
    const Moment when = moment_of(shoot, take);
    const NightSky sky = night_sky(shoot, when.unix_s);
    return {when, sky, horizontal_lx(sky)};
}

TakeFigures take_figures(const Shoot& shoot, const Take& take) {
    TakeFigures figures{take.name, settings_of(shoot, take), {}, {}};
    if (shoot.place) figures.sky = sky_figures(shoot, take);
    for (const std::string& name : take.flights)
        if (const Flight* flight = find_named(shoot.flights, name))
            figures.flights.push_back(flight_figures(shoot, *flight, figures.settings.shutter_s));
    for (const LitLamp& lit : lit_lamps(shoot, take)) {
        figures.lamps.push_back({lit.lamp->name, lit.lit_s(), std::nullopt});
        if (lit.lamp->pulse.per_minute) figures.lamps.back().flashes = lit.lit.size();
    }
    return figures;
}

}  // namespace

ShootFigures shoot_figures(const PlacedShoot& shoot) {
    const Vec2 view_rad = field_of_view_rad(shoot.camera);
    ShootFigures figures{
        shoot.title, {degrees(view_rad.x), degrees(view_rad.y)}, {}, cautions(shoot)};
    for (const Take& take : shoot.takes) figures.takes.push_back(take_figures(shoot, take));
    if (shoot.place && !figures.takes.empty()) {
        const SkyFigures& first = *figures.takes.front().sky;
        figures.place = {*shoot.place, first, evening_of(*shoot.place, first.when.unix_s)};
    }
    std::stable_sort(figures.cautions.begin(), figures.cautions.end(),
                     [](const Caution& a, const Caution& b) { return a.level > b.level; });
    return figures;
}

}  // namespace lampflight
