#include "cli/reports/check_report.h"

#include <algorithm>

#include "scene/basics/angle.h"
#include "scene/shoot/lit_lamp.h"
#include "scene/shoot/take_moment.h"

namespace lampflight {
namespace {

FlightReport flight_report(const Shoot& shoot, const Flight& flight, double shutter_s) {
    const FlightPath path(flight, shutter_s);
    FlightReport report{};
    report.name = flight.name;
    report.length_m = path.length_m();
    report.lap_s = path.lap_s();
    report.speed_m_s = path.speed_m_s();
    report.top_speed_m_s = path.top_speed_m_s();
    report.top_acceleration_m_s2 = path.top_acceleration_m_s2();
    report.airborne_s = path.duration_s();
    if (closes(flight.shape)) report.closure_deg = closure_deg(flight, path, shutter_s);
    report.framing = frame_flight(shoot.camera, path, shutter_s);
    return report;
}

SkyReport sky_report(const Shoot& shoot, const Take& take) {
    const Moment when = moment_of(shoot, take);
    const NightSky sky = night_sky(shoot, when.unix_s);
    return {when, sky, horizontal_lx(sky)};
}

TakeReport take_report(const Shoot& shoot, const Take& take) {
    TakeReport report{take.name, settings_of(shoot, take), {}, {}};
    if (shoot.place) report.sky = sky_report(shoot, take);
    for (const std::string& name : take.flights)
        if (const Flight* flight = find_named(shoot.flights, name))
            report.flights.push_back(flight_report(shoot, *flight, report.settings.shutter_s));
    for (const LitLamp& lit : lit_lamps(shoot, take)) {
        LampReport& lamp = report.lamps.emplace_back(lit.lamp->name, lit.lit_s(), std::nullopt);
        if (lit.lamp->pulse.per_minute) lamp.flashes = lit.lit.size();
    }
    return report;
}

}  // namespace

CheckReport check_report(const PlacedShoot& shoot) {
    const Vec2 view_rad = field_of_view_rad(shoot.camera);
    CheckReport report{
        shoot.title, {degrees(view_rad.x), degrees(view_rad.y)}, {}, cautions(shoot)};
    for (const Take& take : shoot.takes) report.takes.push_back(take_report(shoot, take));
    if (shoot.place && !report.takes.empty()) {
        const SkyReport& first = *report.takes.front().sky;
        report.place = {*shoot.place, first, evening_of(*shoot.place, first.when.unix_s)};
    }
    std::stable_sort(report.cautions.begin(), report.cautions.end(),
                     [](const Caution& a, const Caution& b) { return a.level > b.level; });
    return report;
}

const char* passing_word(Passing passing) {
    switch (passing) {
        case Passing::stays_above:
            return "stays above";
        case Passing::stays_below:
            return "stays below";
        case Passing::climbs_through:
            return "climbs through";
        case Passing::sinks_through:
            break;
    }
    return "sinks through";
}

const char* level_word(CautionLevel level) {
    switch (level) {
        case CautionLevel::danger:
            return "danger";
        case CautionLevel::care:
            return "care";
        case CautionLevel::note:
            break;
    }
    return "note";
}

}  // namespace lampflight
