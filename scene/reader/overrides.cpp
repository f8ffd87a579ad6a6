#include "scene/reader/overrides.h"

#include <algorithm>

#include <fmt/format.h>

#include "scene/basics/wording.h"
#include "scene/keys/key_table.h"
#include "scene/keys/other_words.h"

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
          takes_away_(change.value.empty()),
          value_(read_override_value(change.value, place_.file)) {}

    std::optional<Problem> apply() {
        if (parts_.size() > most_parts)
            return problem(fmt::format("more than {} words with dots between; no key has so many",
                                       most_parts));
        const TableKind* kind = find_table_kind(parts_.front());
        if (!kind && parts_.size() == 1 && find_key("", parts_.front())) {
            return change(file_, 0, parts_.front());
        }
        if (!kind) return unknown_table();
        return kind->is_list() ? in_list(*kind) : in_table(*kind);
    }

private:
    Problem problem(std::string text) const { return problem_at(place_, std::move(text)); }

    Problem unknown_table() const {
        const std::string& word = parts_.front();
        if (parts_.size() == 1) {
            if (const auto meant = meant_key("", word))
                return problem(fmt::format(
                    "unknown key {}; write {}{}.{}", in_quotes(word), meant->table,
                    find_table_kind(meant->table)->is_list() ? ".NAME" : "", meant->key));
        } else if (const std::string_view meant = meant_table(word); !meant.empty()) {
            return problem(fmt::format("unknown table {}; write {}", in_quotes(word), meant));
        }
        std::vector<std::string> names = key_names("");
        for (const TableKind& kind : table_kinds()) names.emplace_back(kind.name);
        return problem(fmt::format("unknown {} {}{}", parts_.size() == 1 ? "key" : "table",
                                   in_quotes(word), hint(word, names)));
    }

    std::optional<Problem> in_table(const TableKind& kind) {
        if (parts_.size() < 2)
            return problem(fmt::format("{} is a whole table; allowed is one of its keys, {}.KEY",
                                       bracketed(kind.name), kind.name));
        SceneEntry* entry = find_entry(file_, parts_.front());
        if (!entry && takes_away_)
            return problem(fmt::format("the file has no {}, so there is nothing to take away",
                                       bracketed(kind.name)));
        if (!entry) {
            file_.push_back({parts_.front(), place_, {place_, SceneTable{}}});
            entry = &file_.back();
        }
        // A table that is none is the file's own problem and told as such.
        auto* table = std::get_if<SceneTable>(&entry->value.value);
        return table ? change(*table, 1, bracketed(kind.name)) : std::nullopt;
    }

    /// The only entry of a list whose entries may go without a name is meant without one.
    SceneTable* lone_entry(const TableKind& kind, SceneList* list) const {
        const Key* name = find_key(kind.name, "name");
        if (!name || name->need == Need::required || !list || list->size() != 1) return nullptr;
        if (parts_.size() < 2 || name_of(list->front()) == parts_[1]) return nullptr;
        const std::vector<std::string> keys = key_names(kind.name);
        const bool is_key = std::ranges::any_of(keys, [&](const std::string& key) {
            return key == parts_[1] || key.starts_with(parts_[1] + '.');
        });
        return is_key ? std::get_if<SceneTable>(&list->front().value) : nullptr;
    }

    std::optional<Problem> in_list(const TableKind& kind) {
        SceneEntry* entry = find_entry(file_, parts_.front());
        auto* list = entry ? std::get_if<SceneList>(&entry->value.value) : nullptr;
        if (SceneTable* lone = lone_entry(kind, list)) return change(*lone, 1, bracketed(kind.name));
        if (parts_.size() < 3)
            return problem(fmt::format("{} may be there several times; allowed is {}.NAME.KEY",
                                       bracketed(kind.name), kind.name));
        std::vector<std::string> names;
        if (list)
            for (SceneValue& item : *list) {
                auto* table = std::get_if<SceneTable>(&item.value);
                if (table && name_of(item) == parts_[1])
                    return change(*table, 2, bracketed(kind.name) + ' ' + in_quotes(parts_[1]));
                if (!name_of(item).empty()) names.push_back(name_of(item));
            }
        return problem(fmt::format("no {} is called {}{}", bracketed(kind.name),
                                   in_quotes(parts_[1]), hint(parts_[1], names)));
    }

    /// Puts the value into a table, or takes the key away where there is none.
    std::optional<Problem> change(SceneTable& table, std::size_t at, const std::string& label) {
        if (takes_away_) return take_away(table, at, label);
        put(table, at);
        return std::nullopt;
    }

    std::string rest_of_path(std::size_t at) const {
        std::string path = parts_[at];
        for (std::size_t i = at + 1; i < parts_.size(); ++i) path += '.' + parts_[i];
        return path;
    }

    std::optional<Problem> take_away(SceneTable& table, std::size_t at, const std::string& label) {
        const std::string path = rest_of_path(at);
        const std::string where = at == 0 ? in_quotes(path) : in_quotes(path) + " in " + label;
        const std::string_view kind = at == 0 ? "" : std::string_view(parts_.front());
        const Key* key = find_key(kind, path);
        if (key && key->need == Need::required && key->tie.choice.empty())
            return problem(where +
                           " is required and can't be taken away; allowed is another value");
        SceneTable* inner = &table;
        for (; at + 1 < parts_.size(); ++at) {
            SceneEntry* entry = find_entry(*inner, parts_[at]);
            inner = entry ? std::get_if<SceneTable>(&entry->value.value) : nullptr;
            if (!inner) break;
        }
        if (inner && find_entry(*inner, parts_.back())) {
            std::erase_if(*inner,
                          [&](const SceneEntry& entry) { return entry.key == parts_.back(); });
            return std::nullopt;
        }
        std::vector<std::string> there;
        for (const SceneEntry& entry : table) there.push_back(entry.key);
        return problem(where + " is not in the file, so there is nothing to take away" +
                       hint(path, there));
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
    bool takes_away_;
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
