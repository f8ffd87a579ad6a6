#include "scene/reader/scene_text.h"

#include <algorithm>
#include <sstream>
#include <tuple>

#include <fmt/format.h>
#include <toml++/toml.h>

#include "scene/basics/wording.h"
#include "scene/reader/syntax_slips.h"
#include "scene/reader/toml_guard.h"

namespace lampflight {
namespace {

constexpr std::size_t longest_parser_message = 120;

TextPlace place_of(const toml::source_region& source, const std::string& name, bool has_lines) {
    if (!has_lines) return {name, 0, 0};
    return {name, static_cast<int>(source.begin.line), static_cast<int>(source.begin.column)};
}

std::optional<Moment> moment_of(const toml::date_time& when) {
    if (!when.offset) return std::nullopt;
    const int offset_min = when.offset->minutes;
    const double midnight_s = midnight_unix_s(when.date.year, when.date.month, when.date.day);
    const int minute = 60 * when.time.hour + when.time.minute - offset_min;
    return Moment{midnight_s + 60.0 * minute + when.time.second + 1e-9 * when.time.nanosecond,
                  offset_min};
}

template <class Date>
std::string as_written(const Date& date) {
    std::ostringstream text;
    text << date;
    return text.str();
}

/// Turns the parser's tree into ours.
class Copier {
public:
    Copier(const std::string& name, bool has_lines) : name_(name), has_lines_(has_lines) {}

    SceneValue value(const toml::node& node) const {
        SceneValue copy{place_of(node.source(), name_, has_lines_), DateOrTime{}};
        if (const auto* text = node.as_string()) copy.value = text->get();
        if (const auto* whole = node.as_integer()) copy.value = whole->get();
        if (const auto* number = node.as_floating_point()) copy.value = number->get();
        if (const auto* truth = node.as_boolean()) copy.value = truth->get();
        if (const auto* date = node.as_date()) copy.value = DateOrTime{{}, as_written(date->get())};
        if (const auto* when = node.as_date_time())
            copy.value = DateOrTime{moment_of(when->get()), as_written(when->get())};
        if (const auto* inner = node.as_table()) copy.value = table(*inner);
        if (const auto* items = node.as_array()) {
            SceneList list;
            for (const toml::node& item : *items) list.push_back(value(item));
            copy.value = std::move(list);
        }
        return copy;
    }

    SceneTable table(const toml::table& parsed) const {
        SceneTable copy;
        for (auto&& [key, node] : parsed)
            copy.push_back(
                {std::string(key.str()), place_of(key.source(), name_, has_lines_), value(node)});
        std::stable_sort(copy.begin(), copy.end(), [](const SceneEntry& a, const SceneEntry& b) {
            return std::tie(a.place.line, a.place.column) < std::tie(b.place.line, b.place.column);
        });
        return copy;
    }

private:
    const std::string& name_;
    bool has_lines_;
};

/// What a value may be, for someone who forgot the quotes of a text.
constexpr std::string_view no_value = "could not determine value type";
constexpr std::string_view values = "allowed is a number, a text in quotes, true, false, [ or {";

std::string in_our_words(std::string_view description) {
    constexpr std::string_view lead = "Error while parsing ";
    if (description.substr(0, lead.size()) == lead) description.remove_prefix(lead.size());
    if (description.ends_with(no_value)) return fmt::format("this value is not TOML; {}", values);
    if (description.find("expected '='") != description.npos)
        return "this line is no key with a value; allowed is KEY = VALUE, the header of a [table], "
               "or a comment behind #";
    if (description.find("expected a comment") != description.npos)
        return "more stands here than the line can hold; allowed is one value, and a comment "
               "behind #";
    const std::size_t colon = description.find(": ");
    if (colon == std::string_view::npos)
        return "not TOML: " + printable(description, longest_parser_message);
    const std::string_view what = description.substr(0, colon);
    return fmt::format("this {} is not TOML: {}", what == "root table" ? "line" : what,
                       printable(description.substr(colon + 2), longest_parser_message));
}

/// The parsed tree, or the parser's one fault.
std::variant<SceneTable, Problem> parse(const std::string& text, const std::string& name,
                                        bool has_lines) {
    try {
        return Copier(name, has_lines).table(toml::parse(std::string_view(text)));
    } catch (const toml::parse_error& error) {
        const TextPlace place = place_of(error.source(), name, has_lines);
        return problem_at(place, in_our_words(error.description()));
    }
}

}  // namespace

Checked<SceneTable> read_scene_text(const std::string& text, const std::string& name) {
    if (auto problem = unfit_text(text, name)) return std::vector{*problem};
    auto parsed = parse(text, name, true);
    if (auto* table = std::get_if<SceneTable>(&parsed)) return std::move(*table);
    return syntax_slips(text, name, std::get<Problem>(parsed),
                        [&](const std::string& part) -> std::optional<Problem> {
                            const auto alone = parse(part, name, true);
                            if (std::holds_alternative<SceneTable>(alone)) return std::nullopt;
                            return std::get<Problem>(alone);
                        });
}

SceneValue read_override_value(const std::string& text, const std::string& name) {
    const std::string line = "value = " + text;
    if (unfit_text(line, name)) return {{name, 0, 0}, text};
    const auto parsed = parse(line, name, false);
    if (const auto* table = std::get_if<SceneTable>(&parsed))
        if (table->size() == 1) return table->front().value;
    return {{name, 0, 0}, text};
}

const SceneEntry* find_entry(const SceneTable& table, const std::string& key) {
    for (const SceneEntry& entry : table)
        if (entry.key == key) return &entry;
    return nullptr;
}

SceneEntry* find_entry(SceneTable& table, const std::string& key) {
    return const_cast<SceneEntry*>(find_entry(std::as_const(table), key));
}

std::string name_of(const SceneValue& value) {
    const auto* table = std::get_if<SceneTable>(&value.value);
    const SceneEntry* name = table ? find_entry(*table, "name") : nullptr;
    const auto* text = name ? std::get_if<std::string>(&name->value.value) : nullptr;
    return text ? *text : "";
}

Problem problem_at(const TextPlace& place, std::string text) {
    return {place.file, place.line, place.column, std::move(text)};
}

}  // namespace lampflight
