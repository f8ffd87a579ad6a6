#include "cli/sheets/plan_lists.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "cli/reports/quantity_text.h"
#include "cli/sheets/plan_fix.h"
#include "scene/shoot/battery.h"
#include "scene/shoot/flown_flight.h"

namespace lampflight {
namespace {

std::string metres(double length_m) {
    return decimal_text(length_m, 1);
}

std::string list_of(const std::vector<std::string>& names) {
    std::string list;
    for (const std::string& name : names) list += (list.empty() ? "" : ", ") + name;
    return list;
}

std::string named(const std::string& kind, const std::string& name) {
    return name.empty() ? kind : fmt::format("{} {}", kind, name);
}

std::string nearest_words(const std::optional<PlanNearest>& nearest) {
    return nearest ? fmt::format("{} {}", metres(nearest->apart_m), nearest->name) : "-";
}

/// From the least to the most that it is in any take.
std::string span_text(const Vec2& span_s) {
    const std::string least = decimal_text(span_s.x, 0), most = decimal_text(span_s.y, 0);
    return least == most ? least : least + "-" + most;
}

/// "clockwise (camera)".
std::string short_way(const std::string& way_round) {
    const std::size_t from = way_round.find(" seen");
    if (from == std::string::npos) return way_round;
    return way_round.substr(0, from) + (way_round.ends_with("above") ? " (above)" : " (camera)");
}

/// Keeps the first rows and counts the others.
void fold_rows(PlanTable& table, std::size_t most_rows, const std::string& of_what) {
    if (table.rows.size() <= most_rows) return;
    table.more = fmt::format("and {} more {}", table.rows.size() - most_rows, of_what);
    table.rows.resize(most_rows);
}

}  // namespace

PlanTable places_table(const PlanFacts& facts, const Shoot& shoot, std::size_t most_rows) {
    const auto declination_deg = shoot.place ? shoot.place->declination_deg : std::nullopt;
    PlanTable table{{{"From the tripod", false, true},
                     {"True", true},
                     {"Magnetic", true},
                     {"Metres", true},
                     {"Paces", true},
                     {"East m", true},
                     {"North m", true},
                     {"Height m", true},
                     {"Over take-off m", true}},
                    {},
                    ""};
    const auto add = [&](const std::string& what, const Vec3& at_m, const Drone* drone) {
        const PlanFix fix = plan_fix(facts.sight.lens_m, at_m, declination_deg);
        table.rows.push_back({what, bearing_text(fix.bearing_deg),
                              fix.magnetic_deg ? bearing_text(*fix.magnetic_deg) : "-",
                              metres(fix.distance_m), std::to_string(fix.paces),
                              metres(fix.east_north_m.x), metres(fix.east_north_m.y),
                              metres(at_m.z), drone ? metres(at_m.z - drone->home_m.z) : "-"});
    };
    const auto add_starts = [&] {
        for (const PlannedFlight& flight : facts.flights)
            add(fmt::format("{} start{} {}", flight.tag, flight.ends_at_start() ? " and end" : "",
                            flight.flight->name),
                flight.start_m(), drone_of(shoot, *flight.flight));
    };
    // Starts come first, unless they leave no room for people and take-offs.
    const bool many = facts.flights.size() + shoot.drones.size() >= most_rows;
    if (!many) add_starts();
    for (const Drone& drone : shoot.drones)
        add(named("take-off", drone.name), drone.home_m, nullptr);
    for (const bool people : {true, false}) {
        for (const PlannedSubject& subject : facts.subjects)
            if (subject.is_person == people) add(subject.name, subject.foot_m, nullptr);
        if (people && many) add_starts();
    }
    for (const Lamp& lamp : shoot.lamps)
        if (lamp.position_m) add(named("lamp", lamp.name), *lamp.position_m, nullptr);
    for (const PlannedFlight& flight : facts.flights)
        if (!flight.ends_at_start())
            add(fmt::format("{} end {}", flight.tag, flight.flight->name), flight.end_m(),
                drone_of(shoot, *flight.flight));
    fold_rows(table, most_rows, "places");
    table.leave_out_idle();
    return table;
}

PlanTable flights_table(const PlanFacts& facts, std::size_t most_rows) {
    PlanTable table{{{"Flight", false, true},
                     {"Takes", false, true},
                     {"Start m", true},
                     {"Low m", true},
                     {"Top m", true},
                     {"Way round (seen from)", false, true},
                     {"Lap s", true},
                     {"All s", true},
                     {"Person m", false, true},
                     {"Thing m", false, true},
                     {"You m", true},
                     {"Strays m", true}},
                    {},
                    ""};
    for (const PlannedFlight& flight : facts.flights) {
        table.rows.push_back(
            {flight.tag + " " + flight.flight->name, list_of(flight.takes),
             metres(flight.start_m().z), metres(flight.lowest_m), metres(flight.highest_m),
             short_way(flight.way_round), span_text(flight.lap_s), span_text(flight.whole_s),
             nearest_words(flight.person), nearest_words(flight.subject),
             metres(flight.camera.apart_m), flight.strays_m > 0.0 ? metres(flight.strays_m) : "-"});
    }
    fold_rows(table, most_rows, "flights");
    table.leave_out_idle();
    return table;
}

std::string battery_sentence(const Shoot& shoot) {
    std::string words;
    for (const DroneBattery& battery : batteries(shoot)) {
        if (!battery.tries) continue;
        words += words.empty() ? "Takes a battery: " : "; ";
        words += named(battery.drone.empty() ? "" : battery.drone, std::to_string(*battery.tries));
    }
    return words;
}

std::vector<PlanCautionLine> caution_lines(const std::vector<Caution>& cautions, double width,
                                           std::size_t most_lines) {
    std::vector<PlanCautionLine> lines;
    std::size_t told = 0, all = 0;
    for (const Caution& caution : cautions) all += caution.level != CautionLevel::note ? 1 : 0;
    for (const Caution& caution : cautions) {
        if (caution.level == CautionLevel::note) continue;
        const std::vector<std::string> words = folded(caution.text, plan_letter, width);
        const bool is_last = told + 1 == all;
        if (lines.size() + words.size() + (is_last ? 0 : 1) > most_lines) break;
        for (std::size_t i = 0; i < words.size(); ++i)
            lines.push_back({i > 0                                   ? ""
                             : caution.level == CautionLevel::danger ? "Danger"
                                                                     : "Care",
                             words[i]});
        ++told;
    }
    if (told < all)
        lines.push_back({"", fmt::format("and {} more: run lampflight check", all - told)});
    return lines;
}

}  // namespace lampflight
