#include <map>
#include <set>

#include "scene/basics/names.h"
#include "scene/basics/wording.h"
#include "scene/keys/key_table.h"
#include "scene/reader/check_shoot.h"

namespace lampflight {
namespace {

template <class Entry>
std::vector<std::string> names_of(const std::vector<Entry>& entries) {
    std::vector<std::string> names;
    names.reserve(entries.size());
    for (const Entry& entry : entries) names.push_back(entry.name);
    return names;
}

/// Names of the entries of a list of tables ("lamp"), in their order; empty for another table.
std::vector<std::string> names_in(const Shoot& shoot, std::string_view table) {
    if (table == "subject") return names_of(shoot.subjects);
    if (table == "lamp") return names_of(shoot.lamps);
    if (table == "drone") return names_of(shoot.drones);
    if (table == "flight") return names_of(shoot.flights);
    if (table == "point") return names_of(shoot.points);
    if (table == "take") return names_of(shoot.takes);
    return {};
}

/// The names that keys with a reference hold, one list for each such key.
struct References {
    TableRef ref;
    std::string_view key;
    std::string_view to;
    std::vector<std::string> names;
};

std::vector<References> references_of(const Shoot& shoot) {
    std::vector<References> all;
    const auto add_aim = [&](TableRef ref, const Aim& aim) {
        if (const auto* at = std::get_if<AimAtSubject>(&aim))
            all.push_back({ref, "aim", "subject", {at->name}});
    };
    for (std::size_t i = 0; i < shoot.lamps.size(); ++i)
        add_aim({"lamp", i}, shoot.lamps[i].aim);
    for (std::size_t i = 0; i < shoot.flights.size(); ++i) {
        const Flight& flight = shoot.flights[i];
        all.push_back({{"flight", i}, "after", "flight", {flight.after.value_or("")}});
        all.push_back({{"flight", i}, "drone", "drone", {flight.drone.value_or("")}});
        all.push_back({{"flight", i}, "carries", "lamp", flight.carries});
    }
    for (std::size_t i = 0; i < shoot.waypoints.size(); ++i) {
        const SceneWaypoint& waypoint = shoot.waypoints[i];
        all.push_back({{"waypoint", i}, "flight", "flight", {waypoint.flight}});
        if (waypoint.aim) add_aim({"waypoint", i}, *waypoint.aim);
    }
    for (std::size_t i = 0; i < shoot.stretches.size(); ++i) {
        const PenStretch& stretch = shoot.stretches[i];
        all.push_back({{"stretch", i}, "flight", "flight", {stretch.flight}});
        if (stretch.aim) add_aim({"stretch", i}, *stretch.aim);
        all.push_back({{"stretch", i},
                       "lamps",
                       "lamp",
                       stretch.lamps.value_or(std::vector<std::string>{})});
    }
    for (std::size_t i = 0; i < shoot.takes.size(); ++i) {
        const Take& take = shoot.takes[i];
        all.push_back({{"take", i}, "flights", "flight", take.flights});
        all.push_back(
            {{"take", i}, "lamps", "lamp", take.lamps.value_or(std::vector<std::string>{})});
        all.push_back({{"take", i},
                       "subjects",
                       "subject",
                       take.subjects.value_or(std::vector<std::string>{})});
        std::vector<std::string> dimmed;
        for (const auto& [name, stops] : take.lamp_stops) dimmed.push_back(name);
        all.push_back({{"take", i}, "lamp_stops", "lamp", dimmed});
    }
    all.push_back({{"photograph", 0}, "takes", "take", shoot.photograph.takes});
    return all;
}

/// A lamp's light and that of sky, sun and moon are told apart by name; an aim's word hides a
/// subject's name.
bool is_kept(std::string_view table, const std::string& name) {
    if (table == "lamp") return name == "sky" || name == "sun" || name == "moon";
    return table == "subject" && contains(written_words<AimWord>(), name);
}

std::string line_of(const TextPlace& place) {
    return place.line > 0 ? fmt::format(", first in line {}", place.line) : "";
}

void check_own_names(const Checks& checks, std::string_view table) {
    const SceneMap& map = checks.map;
    const std::vector<std::string> names = names_in(checks.shoot, table);
    std::map<std::string, std::size_t> first;
    for (std::size_t i = 0; i < names.size(); ++i) {
        if (names[i].empty()) continue;
        const TableRef ref{table, i};
        const auto [same, is_new] = first.emplace(names[i], i);
        if (!is_new)
            checks.add(map.value(ref, "name"), "{} is there twice{}; allowed is each name once",
                       map.label(ref), line_of(map.value({table, same->second}, "name")));
        if (is_kept(table, names[i]))
            checks.add(map.value(ref, "name"),
                       "{} has a name that is kept for {}; allowed is any other", map.label(ref),
                       table == "lamp" ? "the sky's light" : "a word of lamp.aim");
    }
}

std::vector<std::string> candidates(const References& references, std::vector<std::string> known) {
    std::erase(known, "");
    if (references.key == "aim")
        for (const std::string& word : written_words<AimWord>()) known.push_back(word);
    return known;
}

const TextPlace& place_of(const SceneMap& map, const References& references, std::size_t i) {
    for (const std::string_view single : {"aim", "after", "drone", "flight"})
        if (references.key == single) return map.value(references.ref, references.key);
    if (references.key == "lamp_stops")
        return map.item(references.ref, references.key, references.names[i]);
    return map.item(references.ref, references.key, i);
}

void check_references(const Checks& checks, const References& references) {
    if (checks.map.is_broken(references.to)) return;
    const std::vector<std::string> known = names_in(checks.shoot, references.to);
    std::set<std::string> seen;
    for (std::size_t i = 0; i < references.names.size(); ++i) {
        const std::string& name = references.names[i];
        if (name.empty()) continue;
        const TextPlace& place = place_of(checks.map, references, i);
        const std::string label = checks.map.label(references.ref, references.key);
        if (!contains(known, name))
            checks.add(place, "{} names the {} {}, which is not there{}", label, references.to,
                       in_quotes(name), hint(name, candidates(references, known)));
        else if (!seen.insert(name).second)
            checks.add(place, "{} names {} twice; allowed is each name once", label,
                       in_quotes(name));
    }
}

}  // namespace

void check_names(const Checks& checks) {
    for (const TableKind& kind : table_kinds())
        if (kind.is_list()) check_own_names(checks, kind.name);
    for (const References& references : references_of(checks.shoot))
        check_references(checks, references);
}

}  // namespace lampflight
