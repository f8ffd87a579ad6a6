#include "scene/planning/shoot_figures.h"

#include <algorithm>
#include <utility>

#include <fmt/format.h>

#include "scene/basics/angle.h"
#include "scene/basics/names.h"
#include "scene/cautions/alike.h"
#include "scene/shoot/flown_flight.h"
#include "scene/shoot/lit_lamp.h"
#include "scene/shoot/straying_of.h"
#include "scene/shoot/take_moment.h"

namespace lampflight {
namespace {

/// Those of the lamps that a flight carries to draw with.
std::vector<LitLamp> carried_by(const Flight& flight, const std::vector<LitLamp>& lamps) {
    std::vector<LitLamp> carried;
    for (const LitLamp& lit : lamps)
        if (!lit.lamp->own_light && contains(flight.carries, lit.lamp->name))
            carried.push_back(lit);
    return carried;
}

SkyFigures sky_figures(const Shoot& shoot, const Take& take) {
    const Moment when = moment_of(shoot, take);
    const NightSky sky = night_sky(shoot, when.unix_s);
    return {when, sky, horizontal_lx(sky)};
}

TakeFigures take_figures(const Shoot& shoot, const Take& take) {
    TakeFigures figures{take.name, settings_of(shoot, take), {}, {}};
    if (shoot.place) figures.sky = sky_figures(shoot, take);
    const std::vector<LitLamp> lamps = lit_lamps(shoot, take);
    for (const FlownFlight& flown : flown_flights(shoot, take)) {
        figures.flights.push_back(flight_figures(shoot.camera, figures.settings, *flown.flight,
                                                 flown.path, carried_by(*flown.flight, lamps)));
        figures.flights.back().wind = in_wind(shoot, flown);
        figures.flights.back().closing = closing_chance(shoot, take, flown);
    }
    for (const LitLamp& lit : lamps) {
        figures.lamps.push_back({lit.lamp->name, lit.lit_s(), std::nullopt});
        if (lit.lamp->pulse.per_minute) figures.lamps.back().flashes = lit.lit.size();
    }
    return figures;
}

/// Lines that close by luck alone; of flights whose wander is stated.
Findings closing_cautions(const Shoot& shoot, const TakeFigures& take) {
    Findings list;
    for (const FlightFigures& flight : take.flights) {
        if (!flight.closing || flight.closing->chance() >= 0.5) continue;
        const Flight* stated = find_named(shoot.flights, flight.name);
        const Take* of = find_named(shoot.takes, take.name);
        if (!straying_keys(shoot, *of, *stated, shoot.go).states_wander) continue;
        list.push_back(
            {"lap",
             CautionLevel::care,
             fmt::format("Straying as stated, flight \"{}\" in take \"{}\" closes its "
                         "line within {:.2g} m in {:.0f} goes of 100: plan several, or "
                         "let the ends overlap.",
                         flight.name, take.name, flight.closing->gap_m,
                         100.0 * flight.closing->chance()),
             {"seldom closes", "flight", flight.name, take.name, 1.0 - flight.closing->chance()}});
    }
    return list;
}

std::vector<OwnLightFigures> figures_of_own_lights(const Shoot& shoot,
                                                   const std::vector<TakeFigures>& takes) {
    std::vector<OwnLightFigures> all;
    for (const Lamp& lamp : shoot.lamps) {
        if (!lamp.own_light) continue;
        OwnLightFigures figures = own_light_figures(lamp, shoot.air);
        bool burns = false;
        for (const TakeFigures& take : takes) {
            burns = burns || std::ranges::any_of(take.lamps, [&](const LampFigures& lit) {
                        return lit.name == lamp.name;
                    });
            for (const FlightFigures& flight : take.flights)
                if (contains(find_named(shoot.flights, flight.name)->carries, lamp.name))
                    add_flight(figures, flight.speed_m_s);
        }
        if (burns) all.push_back(std::move(figures));
    }
    return all;
}

}  // namespace

ShootFigures shoot_figures(const PlacedShoot& shoot) {
    const Vec2 view_rad = field_of_view_rad(shoot.camera);
    ShootFigures figures{
        shoot.title, {degrees(view_rad.x), degrees(view_rad.y)}, {}, cautions(shoot)};
    for (const Take& take : shoot.takes) figures.takes.push_back(take_figures(shoot, take));
    Findings seldom;
    for (const TakeFigures& take : figures.takes)
        for (Finding& finding : closing_cautions(shoot, take)) seldom.push_back(std::move(finding));
    for (Caution& caution : told_once(seldom)) figures.cautions.push_back(std::move(caution));
    figures.own_lights = figures_of_own_lights(shoot, figures.takes);
    if (shoot.place && !figures.takes.empty()) {
        const SkyFigures& first = *figures.takes.front().sky;
        figures.place = {*shoot.place, first, evening_of(*shoot.place, first.when.unix_s)};
    }
    figures.batteries = batteries(shoot);
    std::stable_sort(figures.cautions.begin(), figures.cautions.end(),
                     [](const Caution& a, const Caution& b) { return a.level > b.level; });
    return figures;
}

}  // namespace lampflight
