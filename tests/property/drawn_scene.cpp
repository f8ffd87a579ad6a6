#include "tests/drawn_scene.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <type_traits>
#include <utility>
#include <variant>
#include <vector>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include "scene/keys/key_table.h"
#include "tests/drawn_values.h"

namespace lampflight {
namespace {

/// One table of the file: its values as they will be written.
struct DrawnTable {
    const TableKind* kind;
    std::map<std::string, std::string> values{};

    bool has(std::string_view key) const { return values.contains(std::string(key)); }
};

/// Keys of which a table takes one, and keys that come together.
const std::vector<std::vector<std::string>> instead_of_each_other{
    {"look_at_m", "bearing_deg"},
    {"look_at_m", "tilt_deg"},
    {"model", "mesh"},
    {"lap_s", "speed_m_s"},
    {"lap_s", "pace"},
    {"speed_m_s", "pace"},
    {"dominant_nm", "temperature_k"},
    {"chromaticity_xy", "temperature_k"},
    {"chromaticity_xy", "dominant_nm"},
    {"chromaticity_xy", "purity"},
    {"purity", "temperature_k"},
    {"gel.shift_mired", "dominant_nm"},
    {"gel.shift_mired", "chromaticity_xy"},
    {"after", "drone"}};
const std::vector<std::vector<std::string>> together{{"dominant_nm", "purity"},
                                                     {"pulse.per_minute", "pulse.on_s"},
                                                     {"beacon.per_minute", "beacon.on_s"},
                                                     {"town.bearing_deg", "town.horizontal_lx"},
                                                     {"gel.shift_mired", "gel.transmission"},
                                                     {"wander_s", "wander_m"},
                                                     {"gust_s", "gust_m_s"},
                                                     {"run_up", "limits.acceleration_m_s2"}};

class SceneByLot {
public:
    explicit SceneByLot(std::uint64_t seed) : lots_(seed) {
        if (lots_.chance(2.0 / 3.0))
            change_sound_scene();
        else
            draw_all();
    }

    std::string text() const {
        std::string text;
        // Tables in their order, as a person would write them.
        for (const TableKind& kind : table_kinds())
            for (const DrawnTable& table : tables_) {
                if (table.kind != &kind) continue;
                text += bracketed(kind.name) + "\n";
                for (const auto& [key, value] : table.values)
                    text += fmt::format("{} = {}\n", key, value);
                text += '\n';
            }
        return text;
    }

private:
    DrawnTable& add(std::string_view kind) {
        DrawnTable table{find_table_kind(kind)};
        if (find_key(kind, "name") != nullptr)
            table.values["name"] = fmt::format("\"{} {}\"", kind, names_of(kind).size() + 1);
        tables_.push_back(table);
        return tables_.back();
    }

    std::vector<std::size_t> places_of(std::string_view kind) const {
        std::vector<std::size_t> places;
        for (std::size_t i = 0; i < tables_.size(); ++i)
            if (tables_[i].kind->name == kind) places.push_back(i);
        return places;
    }

    /// In their quotes.
    std::vector<std::string> names_of(std::string_view kind) const {
        std::vector<std::string> names;
        for (const DrawnTable& table : tables_)
            if (table.kind->name == kind && table.has("name"))
                names.push_back(table.values.at("name"));
        return names;
    }

    bool fits(const DrawnTable& table, const Key& key) const {
        if (key.tie.choice.empty()) return true;
        const auto chosen = table.values.find(std::string(key.tie.choice));
        Shoot shoot;
        const Key* choice = find_key(table.kind->name, key.tie.choice);
        const std::string word = chosen == table.values.end()
                                     ? fmt::format("\"{}\"", word_of(sample_field(*choice, shoot)))
                                     : chosen->second;
        return std::ranges::any_of(key.tie.words, [&](std::string_view fitting) {
            return word == fmt::format("\"{}\"", fitting);
        });
    }

    std::string one_of(const std::vector<std::string>& names) {
        return names.empty() ? "\"nobody\"" : lots_.pick(names);
    }

    std::string some_of(std::string_view kind, bool may_be_empty) {
        std::vector<std::string> names = names_of(kind);
        std::erase_if(names, [&](const std::string&) { return lots_.chance(0.5); });
        if (names.empty() && !may_be_empty) names.push_back(one_of(names_of(kind)));
        return fmt::format("[{}]", fmt::join(names, ", "));
    }

    std::string drawn_aim(const Key& key) {
        const std::vector<std::string> words = written_words<Aim>();
        if (lots_.chance(0.4)) return fmt::format("\"{}\"", lots_.pick(words));
        if (lots_.chance(0.4)) return one_of(names_of(key.refers));
        return lots_.chance(0.8) ? drawn_numbers(lots_, {-1.0, 1.0}, 3)
                                 : drawn_numbers(lots_, key.range, 3);
    }

    std::string drawn_text(const Key& key) {
        if (key.name == "mesh") return "\"tower.obj\"";
        if (key.name == "figure") return "\"heart.svg\"";
        if (key.name == "waypoints") return "\"steps.csv\"";
        if (!key.refers.empty()) return one_of(names_of(key.refers));
        return "\"any\"";
    }

    std::string drawn_value(const Key& key) {
        Shoot shoot;
        const Field field = sample_field(key, shoot);
        if (key.name.ends_with("on_s") && lots_.chance(0.7))
            return fmt::format("{}", std::pow(10.0, lots_.between(-4.0, 0.0)));
        if (const std::vector<std::string> words = choices_of(field);
            !words.empty() && !std::holds_alternative<Aim*>(field) &&
            !std::holds_alternative<std::optional<Aim>*>(field))
            return fmt::format("\"{}\"", lots_.pick(words));
        return std::visit([&](auto* member) { return drawn_for(key, member); }, field);
    }

    template <class Member>
    std::string drawn_for(const Key& key, Member*) {
        const auto is_one_of = []<class... Types>(std::type_identity<Types>...) {
            return (std::is_same_v<Member, Types> || ...);
        };
        if constexpr (is_one_of(std::type_identity<double>{},
                                std::type_identity<std::optional<double>>{}))
            return fmt::format("{}", drawn_number(lots_, key.range));
        else if constexpr (is_one_of(std::type_identity<int>{}))
            return fmt::format("{}", std::round(drawn_number(lots_, key.range)));
        else if constexpr (is_one_of(std::type_identity<bool>{}))
            return lots_.chance(0.5) ? "true" : "false";
        else if constexpr (is_one_of(std::type_identity<std::string>{},
                                     std::type_identity<std::optional<std::string>>{}))
            return drawn_text(key);
        else if constexpr (is_one_of(std::type_identity<glm::ivec2>{}))
            return fmt::format("[{}, {}]", 24 + lots_.below(49), 24 + lots_.below(49));
        else if constexpr (is_one_of(std::type_identity<Vec2>{},
                                     std::type_identity<std::optional<Vec2>>{}))
            return drawn_pair(key);
        else if constexpr (is_one_of(std::type_identity<Vec3>{},
                                     std::type_identity<std::optional<Vec3>>{}))
            return key.range.high > 1000.0 ? drawn_place(lots_, key.range)
                                           : drawn_numbers(lots_, key.range, 3);
        else if constexpr (is_one_of(std::type_identity<Aim>{},
                                     std::type_identity<std::optional<Aim>>{}))
            return drawn_aim(key);
        else if constexpr (is_one_of(std::type_identity<std::vector<std::string>>{},
                                     std::type_identity<std::optional<std::vector<std::string>>>{}))
            return some_of(key.refers, key.may_be_empty);
        else if constexpr (is_one_of(std::type_identity<std::map<std::string, double>>{}))
            return fmt::format("{{ {} = {} }}", one_of(names_of(key.refers)),
                               drawn_number(lots_, key.range));
        else if constexpr (is_one_of(std::type_identity<std::optional<TimeWindows>>{}))
            return drawn_windows(lots_);
        else if constexpr (is_one_of(std::type_identity<Moment>{}))
            return drawn_moment(lots_);
        else
            return "\"no word\"";
    }

    std::string drawn_pair(const Key& key) {
        if (key.name == "chromaticity_xy" && lots_.chance(0.8))
            return fmt::format("[{}, {}]", lots_.between(0.2, 0.5), lots_.between(0.2, 0.4));
        if (key.range.high > 1000.0)
            return fmt::format("[{}, {}]", lots_.between(-10.0, 10.0), lots_.between(-10.0, 10.0));
        std::array<double, 2> pair{drawn_number(lots_, key.range), drawn_number(lots_, key.range)};
        if (key.name == "part" && pair[0] > pair[1]) std::swap(pair[0], pair[1]);
        return fmt::format("[{}, {}]", pair[0], pair[1]);
    }

    /// Whether a key could be sound: names need somebody who bears them.
    bool may_be_drawn(const DrawnTable& table, const Key& key) {
        if (key.name == "name") return false;
        if (key.table == "lamp" && key.name == "position_m") return lots_.chance(0.05);
        if (key.name == "crease_deg") return table.has("mesh");
        if (key.refers.empty() || lots_.chance(0.02)) return true;
        return !names_of(key.refers).empty() || key.name == "aim" || key.may_be_empty;
    }

    void draw_key(DrawnTable& table, const Key& key) {
        if (!may_be_drawn(table, key)) return;
        table.values[std::string(key.name)] = drawn_value(key);
        for (const auto& pair : instead_of_each_other)
            for (int i = 0; i < 2; ++i)
                if (pair[i] == key.name && lots_.chance(0.95)) table.values.erase(pair[1 - i]);
        for (const auto& pair : together)
            for (int i = 0; i < 2; ++i)
                if (pair[i] == key.name && !table.has(pair[1 - i]) && lots_.chance(0.95))
                    if (const Key* other = find_key(table.kind->name, pair[1 - i]))
                        table.values[pair[1 - i]] = drawn_value(*other);
    }

    /// What must be written, and what no longer fits is taken away.
    void mend(DrawnTable& table) {
        for (const Key& key : key_table()) {
            if (key.table != table.kind->name) continue;
            if (!fits(table, key) && lots_.chance(0.98)) table.values.erase(std::string(key.name));
            if (key.need == Need::required && fits(table, key) && !table.has(key.name))
                draw_key(table, key);
        }
        const auto shape = table.values.find("shape");
        if (shape != table.values.end() && shape->second == "\"waypoints\"" &&
            !table.has("waypoints") && places_of("waypoint").empty())
            table.values["waypoints"] = "\"steps.csv\"";
        if (table.kind->name == "subject" && !table.has("mesh") && !table.has("model"))
            draw_key(table, *find_key("subject", lots_.chance(0.9) ? "model" : "mesh"));
    }

    /// Waypoints need a flight that goes through them, and are at least two.
    void mend_waypoints() {
        std::vector<std::size_t> waypoints = places_of("waypoint");
        const std::vector<std::size_t> flights = places_of("flight");
        if (waypoints.empty() || flights.empty()) return;
        while (waypoints.size() < 3) {
            add("waypoint");
            waypoints = places_of("waypoint");
        }
        DrawnTable& flight = tables_[lots_.pick(flights)];
        flight.values["shape"] = "\"waypoints\"";
        flight.values.erase("waypoints");
        for (const std::size_t place : waypoints)
            if (!lots_.chance(0.02)) tables_[place].values["flight"] = flight.values["name"];
    }

    /// A place and a stated sky exclude each other.
    void mend_all() {
        mend_waypoints();
        const bool has_place = !places_of("place").empty();
        for (DrawnTable& table : tables_) {
            mend(table);
            if (lots_.chance(0.03)) continue;
            const auto without =
                has_place
                    ? std::set<std::string>{"horizontal_lx", "temperature_k", "glow_bearing_deg"}
                    : std::set<std::string>{
                          "night_mag_arcsec2",  "cloud_share",   "want_stops", "town.bearing_deg",
                          "town.horizontal_lx", "visibility_km", "after_s"};
            const std::string_view kind = table.kind->name;
            if (kind == "sky" || (!has_place && (kind == "air" || kind == "take")))
                for (const std::string& key : without) table.values.erase(key);
        }
    }

    void add_sound_scene() {
        auto& camera = add("camera").values;
        camera["pixels"] =
            lots_.pick(std::array<std::string, 3>{"[48, 32]", "[40, 40]", "[30, 45]"});
        camera["position_m"] = "[0, -14, 1.5]";
        camera["look_at_m"] = "[0, 0, 4]";
        camera["focal_mm"] = "20";
        camera["f_number"] = "8";
        camera["iso"] = "400";
        camera["shutter_s"] = fmt::format("{}", 5 + lots_.below(40));
        if (lots_.chance(0.4)) {
            add("place");
        } else if (lots_.chance(0.5)) {
            add("sky").values["horizontal_lx"] = "0.05";
        }
        for (std::size_t i = 0; i < lots_.below(3); ++i) {
            auto& subject = add("subject").values;
            subject["position_m"] = fmt::format("[{}, 0, 0]", 4 * static_cast<int>(i) - 2);
        }
        const std::size_t flights = 1 + lots_.below(3);
        for (std::size_t i = 0; i < flights; ++i) add("lamp");
        if (lots_.chance(0.3)) add("lamp").values["position_m"] = "[3, 2, 1]";
        for (std::size_t i = 0; i < flights; ++i) {
            auto& flight = add("flight").values;
            flight["carries"] = fmt::format("[{}]", names_of("lamp")[i]);
            flight["height_m"] = fmt::format("{}", 5 + 2 * i);
            flight["radius_m"] = "3";
        }
        for (std::size_t i = 0; i < flights; ++i)
            add("take").values["flights"] =
                fmt::format("[{}]", names_of("flight")[lots_.chance(0.8) ? i : 0]);
    }

    void change_sound_scene() {
        add_sound_scene();
        const std::size_t changes = 1 + lots_.below(12);
        for (std::size_t i = 0; i < changes; ++i) change_something();
        mend_all();
    }

    void change_something() {
        const Key& key = lots_.chance(0.1) ? *find_key("flight", "shape") : lots_.pick(key_table());
        if (key.table.empty() || key.name == "name") return;
        const std::vector<std::size_t> places = places_of(key.table);
        const bool adds =
            places.empty() || (find_table_kind(key.table)->is_list() && lots_.chance(0.1));
        DrawnTable& table = adds ? add(key.table) : tables_[lots_.pick(places)];
        if (!fits(table, key))
            table.values[std::string(key.tie.choice)] =
                fmt::format("\"{}\"", lots_.pick(key.tie.words));
        draw_key(table, key);
    }

    void draw_all() {
        for (const TableKind& kind : table_kinds()) {
            const bool needed =
                kind.need == Need::required || kind.name == "lamp" || kind.name == "flight";
            std::size_t count = needed ? 1 : lots_.chance(0.4) ? 1 : 0;
            if (kind.is_list() && count > 0) count += lots_.below(3);
            for (std::size_t i = 0; i < count; ++i) add(kind.name);
        }
        for (std::size_t i = 0; i < tables_.size(); ++i) {
            const double share = lots_.between(0.0, 0.4);
            // What a choice ties is drawn behind the choice.
            for (const Key& key : key_table())
                if (key.table == tables_[i].kind->name && fits(tables_[i], key) &&
                    lots_.chance(share))
                    draw_key(tables_[i], key);
            if (tables_[i].kind->name == "camera")
                tables_[i].values["pixels"] =
                    fmt::format("[{}, {}]", 24 + lots_.below(49), 24 + lots_.below(49));
        }
        mend_all();
    }

    Lots lots_;
    std::vector<DrawnTable> tables_;
};

}  // namespace

std::string drawn_scene(std::uint64_t seed) {
    return SceneByLot(seed).text();
}

std::string without_lines(const std::string& text, const std::vector<int>& lines) {
    std::string kept;
    bool in_struck_table = false;
    int number = 0;
    for (std::size_t begin = 0; begin < text.size();) {
        const std::size_t end = std::min(text.find('\n', begin), text.size() - 1);
        const std::string line = text.substr(begin, end + 1 - begin);
        begin = end + 1;
        ++number;
        const bool is_head = line.starts_with('[');
        const bool is_struck = std::ranges::find(lines, number) != lines.end();
        if (is_head) in_struck_table = is_struck;
        if (!is_struck && !in_struck_table) kept += line;
    }
    return kept;
}

}  // namespace lampflight
