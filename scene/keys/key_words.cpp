// What the key table says in words: kinds, ranges and choices.
#include <cmath>

#include <fmt/format.h>

#include "scene/basics/wording.h"
#include "scene/keys/key_table.h"

namespace lampflight {
namespace {

struct Kind {
    TextRule rule;

    std::string operator()(const double*) const { return "a number"; }
    std::string operator()(const int*) const { return "a whole number"; }
    std::string operator()(const bool*) const { return "true or false"; }
    std::string operator()(const std::string*) const { return text(); }
    std::string operator()(const Vec2*) const { return "2 numbers"; }
    std::string operator()(const Vec3*) const { return "3 numbers"; }
    std::string operator()(const glm::ivec2*) const { return "2 whole numbers"; }
    std::string operator()(const std::vector<std::string>*) const { return "a list of names"; }
    std::string operator()(const std::map<std::string, double>*) const {
        return "a table of numbers by name";
    }
    std::string operator()(const TimeWindows*) const {
        return "from and to, or a list of such pairs";
    }
    std::string operator()(const Moment*) const { return "a date and time with its offset"; }
    std::string operator()(const Aim*) const { return "a word, a subject's name or 3 numbers"; }
    template <class Value>
    std::string operator()(const std::optional<Value>*) const {
        return (*this)(static_cast<const Value*>(nullptr));
    }
    template <class Choice>
    std::string operator()(const Choice*) const {
        return "a word";
    }

    std::string text() const {
        if (rule == TextRule::name) return "a name";
        return rule == TextRule::path ? "a file's name" : "a text";
    }
};

constexpr std::string_view sample_moment = "2026-11-24T17:35:00+01:00";

bool is_aim(const Field& field) {
    return std::holds_alternative<Aim*>(field) ||
           std::holds_alternative<std::optional<Aim>*>(field);
}

bool has_many_numbers(const Field& field) {
    return std::holds_alternative<Vec2*>(field) || std::holds_alternative<Vec3*>(field) ||
           std::holds_alternative<glm::ivec2*>(field) ||
           std::holds_alternative<std::optional<Vec2>*>(field) ||
           std::holds_alternative<std::optional<Vec3>*>(field) ||
           std::holds_alternative<std::optional<TimeWindows>*>(field);
}

}  // namespace

Field sample_field(const Key& key, Shoot& shoot) {
    for (const TableKind& kind : table_kinds())
        if (kind.name == key.table && kind.is_list()) kind.append(shoot);
    return key.field(shoot);
}

bool within(const Range& range, double number) {
    if (range.also && number == *range.also) return true;
    return (range.above_low ? number > range.low : number >= range.low) && number <= range.high;
}

std::vector<std::string> choices_of(const Field& field) {
    return std::visit([]<class Value>(Value*) { return written_words<Value>(); }, field);
}

std::string word_of(const Field& field) {
    const auto word = []<class Value>(const Value* value) -> std::string_view {
        if constexpr (std::is_enum_v<Value>)
            return words_of<Value>.at(static_cast<std::size_t>(*value));
        return "";
    };
    return std::string(std::visit(word, field));
}

std::string bracketed(std::string_view table) {
    const TableKind* kind = find_table_kind(table);
    return kind && kind->is_list() ? fmt::format("[[{}]]", table) : fmt::format("[{}]", table);
}

std::string kind_text(const Key& key) {
    Shoot shoot;
    return std::visit(Kind{key.text}, sample_field(key, shoot));
}

std::string range_text(const Key& key) {
    Shoot shoot;
    const Field field = sample_field(key, shoot);
    if (std::holds_alternative<Moment*>(field))
        return fmt::format("{} to {}, like {}", first_year, last_year, sample_moment);
    if (std::isinf(key.range.low) || is_aim(field)) return "";
    std::string text = has_many_numbers(field) ? "each " : "";
    text += key.range.above_low
                ? fmt::format("more than {}, up to {}", key.range.low, key.range.high)
                : fmt::format("{} to {}", key.range.low, key.range.high);
    if (key.range.also) text += fmt::format(", or {}", *key.range.also);
    if (!key.unit.empty()) text += fmt::format(" {}", key.unit);
    return text;
}

std::string allowed_text(const Key& key) {
    Shoot shoot;
    const std::vector<std::string> choices = choices_of(sample_field(key, shoot));
    if (is_aim(sample_field(key, shoot)))
        return alternatives(choices) + ", a subject's name, or a direction of 3 numbers";
    if (!choices.empty()) return alternatives(choices);
    const std::string range = range_text(key);
    return range.empty() ? kind_text(key) : kind_text(key) + ", " + range;
}

}  // namespace lampflight
