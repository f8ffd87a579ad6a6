#include "scene/reader/overrides.h"

#include <fmt/format.h>

#include "scene/basics/wording.h"
#include "scene/keys/key_table.h"

namespace lampflight {
namespace {

constexpr std::size_t longest_shown = 80;
constexpr std::size_t most_parts = 4;

std::vector<std::string> split(const std::string& key) {
    std::vector<std::string> parts(1);
    for (char letter : key)
        if (letter == '.')
            parts.emplace_back();
        else
            parts.back() += letter;
    return parts;
}

/// Puts one override into the tree.
class Applier {
public:
    Applier(SceneTable& file, const Override& change)
        : file_(file),
          place_{"--set " + printable(change.key + '=' + change.value, longest_shown), 0, 0},
          parts_(split(change.key)),
          value_(read_override_value(change.value, place_.file)) {}

    std::optional<Problem> apply() {
        if (parts_.size() > most_parts)
            return problem(fmt::format("more than {} words with dots between; no key has so many",
                                       most_parts));
        const TableKind* kind = find_table_kind(parts_.front());
        if (!kind && parts_.size() == 1 && find_key("", parts_.front())) {
            put(file_, 0);
            return std::nullopt;
        }
        if (!kind) return unknown_table();
        return kind->is_list() ? in_list(*kind) : in_table(*kind);
    }

private:
    Problem problem(std::string text) const { return problem_at(place_, std::move(text)); }

    Problem unknown_table() const {
        std::vector<std::string> names = key_names("");
        for (const TableKind& kind : table_kinds()) names.emplace_back(kind.name);
        return problem(fmt::format("unknown {} {}{}", parts_.size() == 1 ? "key" : "table",
                                   in_quotes(parts_.front()), hint(parts_.front(), names)));
    }

    std::optional<Problem> in_table(const TableKind& kind) {
        if (parts_.size() < 2)
            return problem(fmt::format("{} is a whole table; allowed is one of its keys, {}.KEY",
                                       bracketed(kind.name), kind.name));
        SceneEntry* entry = find_entry(file_, parts_.front());
        if (!entry) {
            file_.push_back({parts_.front(), place_, {place_, SceneTable{}}});
            entry = &file_.back();
        }
        // A table that is none is the file's own problem and told as such.
        if (auto* table = std::get_if<SceneTable>(&entry->value.value)) put(*table, 1);
        return std::nullopt;
    }

    std::optional<Problem> in_list(const TableKind& kind) {
        if (parts_.size() < 3)
            return problem(fmt::format("{} may be there several times; allowed is {}.NAME.KEY",
                                       bracketed(kind.name), kind.name));
        SceneEntry* entry = find_entry(file_, parts_.front());
        auto* list = entry ? std::get_if<SceneList>(&entry->value.value) : nullptr;
        std::vector<std::string> names;
        if (list)
            for (SceneValue& item : *list) {
                auto* table = std::get_if<SceneTable>(&item.value);
                if (table && name_of(item) == parts_[1]) {
                    put(*table, 2);
                    return std::nullopt;
                }
                if (!name_of(item).empty()) names.push_back(name_of(item));
            }
        return problem(fmt::format("no {} is called {}{}", bracketed(kind.name),
                                   in_quotes(parts_[1]), hint(parts_[1], names)));
    }

    /// Puts the value at the rest of the path, in inner tables where it has dots.
    void put(SceneTable& table, std::size_t at) {
        SceneEntry* entry = find_entry(table, parts_[at]);
        if (!entry) {
            table.push_back({parts_[at], place_, {place_, SceneTable{}}});
            entry = &table.back();
        }
        if (at + 1 == parts_.size()) {
            entry->place = place_;
            entry->value = value_;
            return;
        }
        if (!std::holds_alternative<SceneTable>(entry->value.value))
            entry->value = {place_, SceneTable{}};
        put(std::get<SceneTable>(entry->value.value), at + 1);
    }

    SceneTable& file_;
    TextPlace place_;
    std::vector<std::string> parts_;
    SceneValue value_;
};

}  // namespace

std::vector<Problem> apply_overrides(SceneTable& file, const std::vector<Override>& overrides) {
    std::vector<Problem> problems;
    for (const Override& change : overrides)
        if (auto problem = Applier(file, change).apply()) problems.push_back(*problem);
    return problems;
}

}  // namespace lampflight
