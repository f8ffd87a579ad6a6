#include "scene/reader/check_names.h"

#include <algorithm>
#include <set>

#include <fmt/format.h>

#include "scene/basics/wording.h"
#include "scene/keys/key_table.h"

namespace lampflight {
namespace {

template <class Entry>
std::vector<std::string> names_of(const std::vector<Entry>& entries) {
    std::vector<std::string> names;
    names.reserve(entries.size());
    for (const Entry& entry : entries) names.push_back(entry.name);
    return names;
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
    for (std::size_t i = 0; i < shoot.lamps.size(); ++i)
        if (const auto* at = std::get_if<AimAtSubject>(&shoot.lamps[i].aim))
            all.push_back({{"lamp", i}, "aim", "subject", {at->name}});
    for (std::size_t i = 0; i < shoot.flights.size(); ++i)
        all.push_back({{"flight", i}, "carries", "lamp", shoot.flights[i].carries});
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

class NameChecker {
public:
    explicit NameChecker(const Reading& reading) : reading_(reading) {}

    std::vector<Problem> check() {
        for (const TableKind& kind : table_kinds())
            if (kind.is_list()) check_own_names(kind.name);
        for (const References& references : references_of(reading_.shoot))
            check_references(references);
        return std::move(problems_);
    }

private:
    void add(const TextPlace& place, std::string text) {
        problems_.push_back(problem_at(place, std::move(text)));
    }

    void check_own_names(std::string_view table) {
        const std::vector<std::string> names = names_in(reading_.shoot, table);
        std::map<std::string, std::size_t> first;
        for (std::size_t i = 0; i < names.size(); ++i) {
            if (names[i].empty()) continue;
            const TableRef ref{table, i};
            const auto [same, is_new] = first.emplace(names[i], i);
            if (!is_new)
                add(reading_.map.value(ref, "name"),
                    fmt::format("{} is there twice{}; allowed is each name once",
                                reading_.map.label(ref), line_of({table, same->second})));
            if (is_kept(table, names[i]))
                add(reading_.map.value(ref, "name"),
                    fmt::format("{} has a name that is kept for {}; allowed is any other",
                                reading_.map.label(ref),
                                table == "lamp" ? "the sky's light" : "a word of lamp.aim"));
        }
    }

    std::string line_of(TableRef ref) const {
        const TextPlace& place = reading_.map.value(ref, "name");
        return place.line > 0 ? fmt::format(", first in line {}", place.line) : "";
    }

    /// A lamp's light and that of sky, sun and moon are told apart by name; an aim's word hides a
    /// subject's name.
    static bool is_kept(std::string_view table, const std::string& name) {
        if (table == "lamp") return name == "sky" || name == "sun" || name == "moon";
        const std::vector<std::string> aims = written_words<AimWord>();
        return table == "subject" && std::find(aims.begin(), aims.end(), name) != aims.end();
    }

    void check_references(const References& references) {
        if (reading_.map.is_broken(references.to)) return;
        const std::vector<std::string> known = names_in(reading_.shoot, references.to);
        std::set<std::string> seen;
        for (std::size_t i = 0; i < references.names.size(); ++i) {
            const std::string& name = references.names[i];
            if (name.empty()) continue;
            const TextPlace& place = place_of(references, i);
            const std::string label = fmt::format("{} in {}", in_quotes(references.key),
                                                  reading_.map.label(references.ref));
            if (std::find(known.begin(), known.end(), name) == known.end())
                add(place,
                    fmt::format("{} names the {} {}, which is not there{}", label, references.to,
                                in_quotes(name), hint(name, candidates(references, known))));
            else if (!seen.insert(name).second)
                add(place, fmt::format("{} names {} twice; allowed is each name once", label,
                                       in_quotes(name)));
        }
    }

    static std::vector<std::string> candidates(const References& references,
                                               std::vector<std::string> known) {
        std::erase(known, "");
        if (references.key == "aim")
            for (const std::string& word : written_words<AimWord>()) known.push_back(word);
        return known;
    }

    const TextPlace& place_of(const References& references, std::size_t i) const {
        const SceneMap& map = reading_.map;
        if (references.key == "aim") return map.value(references.ref, references.key);
        if (references.key == "lamp_stops")
            return map.item(references.ref, references.key, references.names[i]);
        return map.item(references.ref, references.key, i);
    }

    const Reading& reading_;
    std::vector<Problem> problems_;
};

}  // namespace

std::vector<std::string> names_in(const Shoot& shoot, std::string_view table) {
    if (table == "subject") return names_of(shoot.subjects);
    if (table == "lamp") return names_of(shoot.lamps);
    if (table == "flight") return names_of(shoot.flights);
    if (table == "point") return names_of(shoot.points);
    if (table == "take") return names_of(shoot.takes);
    return {};
}

std::vector<Problem> check_names(const Reading& reading) {
    return NameChecker(reading).check();
}

}  // namespace lampflight
