#include "scene/reader/read_tables.h"

#include <fmt/format.h>

#include "scene/basics/nearest_word.h"
#include "scene/basics/wording.h"
#include "scene/keys/key_table.h"
#include "scene/reader/read_value.h"

namespace lampflight {

std::string SceneMap::path(TableRef ref, std::string_view key) {
    return fmt::format("{}\n{}\n{}", ref.table, ref.index, key);
}

void SceneMap::add_table(TableRef ref, const TextPlace& place, const std::string& label) {
    spots_[path(ref, "")] = {place, place, true};
    labels_[path(ref, "")] = label;
}

void SceneMap::add_key(TableRef ref, const std::string& key, const SceneEntry& entry, bool sound) {
    spots_[path(ref, key)] = {entry.place, entry.value.place, sound};
    if (const auto* list = std::get_if<SceneList>(&entry.value.value))
        for (std::size_t i = 0; i < std::min(list->size(), longest_list); ++i)
            spots_[path(ref, fmt::format("{}\n{}", key, i))] = {(*list)[i].place, (*list)[i].place};
    if (const auto* inner = std::get_if<SceneTable>(&entry.value.value))
        for (const SceneEntry& named : *inner)
            spots_[path(ref, key + '\n' + named.key)] = {named.place, named.place};
}

const TextPlace& SceneMap::table(TableRef ref) const {
    const auto spot = spots_.find(path(ref, ""));
    return spot == spots_.end() ? file : spot->second.key;
}

const std::string& SceneMap::label(TableRef ref) const {
    return labels_.at(path(ref, ""));
}

bool SceneMap::has(TableRef ref, std::string_view key) const {
    return spots_.contains(path(ref, key));
}

bool SceneMap::is_sound(TableRef ref, std::string_view key) const {
    const auto spot = spots_.find(path(ref, key));
    return spot == spots_.end() || spot->second.sound;
}

const TextPlace& SceneMap::key(TableRef ref, std::string_view key) const {
    const auto spot = spots_.find(path(ref, key));
    return spot == spots_.end() ? table(ref) : spot->second.key;
}

const TextPlace& SceneMap::value(TableRef ref, std::string_view key) const {
    const auto spot = spots_.find(path(ref, key));
    return spot == spots_.end() ? table(ref) : spot->second.value;
}

const TextPlace& SceneMap::item(TableRef ref, std::string_view key, std::size_t index) const {
    return value(ref, fmt::format("{}\n{}", key, index));
}

const TextPlace& SceneMap::item(TableRef ref, std::string_view key, const std::string& name) const {
    return value(ref, fmt::format("{}\n{}", key, name));
}

std::string bracketed(std::string_view table) {
    const TableKind* kind = find_table_kind(table);
    return kind && kind->is_list() ? fmt::format("[[{}]]", table) : fmt::format("[{}]", table);
}

namespace {

class TableReader {
public:
    explicit TableReader(const std::string& name) { reading_.map.file = {name, 1, 1}; }

    Reading read(const SceneTable& file) {
        reading_.map.add_table({"", 0}, reading_.map.file, "the file");
        for (const SceneEntry& entry : file) top_entry(entry);
        for (const TableKind& kind : table_kinds())
            if (kind.need == Need::required && !find_entry(file, std::string(kind.name)))
                add(reading_.map.file,
                    fmt::format("the file has no {}; it is required", bracketed(kind.name)));
        return std::move(reading_);
    }

private:
    void add(const TextPlace& place, std::string text) {
        reading_.problems.push_back(problem_at(place, std::move(text)));
    }

    void top_entry(const SceneEntry& entry) {
        if (const TableKind* kind = find_table_kind(entry.key)) {
            kind->is_list() ? list_of_tables(entry, *kind) : single_table(entry, *kind);
        } else if (const Key* key = find_key("", entry.key)) {
            read_key({"", 0}, entry, *key, "");
        } else {
            unknown_at_top(entry);
        }
    }

    void single_table(const SceneEntry& entry, const TableKind& kind) {
        const TableRef ref{kind.name, 0};
        reading_.map.add_table(ref, entry.value.place, bracketed(kind.name));
        if (const auto* table = std::get_if<SceneTable>(&entry.value.value))
            return table_entries(ref, *table);
        reading_.map.broken_tables.insert(kind.name);
        add(entry.value.place,
            fmt::format("{} is {}; allowed is one table, written [{}]", in_quotes(entry.key),
                        found_text(entry.value), entry.key));
    }

    void list_of_tables(const SceneEntry& entry, const TableKind& kind) {
        const auto* list = std::get_if<SceneList>(&entry.value.value);
        if (!list || list->empty()) {
            reading_.map.broken_tables.insert(kind.name);
            return add(entry.value.place,
                       fmt::format("{} is {}; allowed is one table or more, each written [[{}]]",
                                   in_quotes(entry.key), found_text(entry.value), entry.key));
        }
        if (list->size() > kind.most)
            add((*list)[kind.most].place,
                fmt::format("the file has {} times [[{}]]; allowed is up to {}", list->size(),
                            entry.key, kind.most));
        for (std::size_t i = 0; i < std::min(list->size(), kind.most); ++i)
            list_entry({kind.name, i}, (*list)[i], kind);
    }

    void list_entry(TableRef ref, const SceneValue& value, const TableKind& kind) {
        kind.append(reading_.shoot);
        reading_.map.add_table(ref, value.place, label_of(ref, value));
        if (const auto* table = std::get_if<SceneTable>(&value.value))
            return table_entries(ref, *table);
        reading_.map.broken_tables.insert(kind.name);
        add(value.place, fmt::format("{} holds {}; allowed are tables, each written [[{}]]",
                                     in_quotes(kind.name), found_text(value), kind.name));
    }

    static std::string label_of(TableRef ref, const SceneValue& value) {
        const auto* table = std::get_if<SceneTable>(&value.value);
        const SceneEntry* name = table ? find_entry(*table, "name") : nullptr;
        const auto* text = name ? std::get_if<std::string>(&name->value.value) : nullptr;
        return text && !text->empty() ? fmt::format("[[{}]] {}", ref.table, in_quotes(*text))
                                      : fmt::format("[[{}]]", ref.table);
    }

    void table_entries(TableRef ref, const SceneTable& table) {
        for (const SceneEntry& entry : table) read_entry(ref, entry, "");
        for (const Key& key : key_table()) {
            if (key.table != ref.table) continue;
            if (reading_.map.has(ref, key.name)) {
                if (!fits(ref, key)) refuse_tied(ref, key);
            } else if (key.need == Need::required && fits(ref, key) &&
                       reading_.map.is_sound(ref, key.tie.choice)) {
                add(reading_.map.table(ref),
                    fmt::format("{} has no {}; required is {}", reading_.map.label(ref),
                                in_quotes(key.name), allowed_text(key)));
            }
        }
    }

    /// One key of a table; `prefix` holds the inner tables with a dot behind each.
    void read_entry(TableRef ref, const SceneEntry& entry, const std::string& prefix) {
        const std::string name = prefix + entry.key;
        if (const Key* key = find_key(ref.table, name)) return read_key(ref, entry, *key, prefix);
        if (!has_inner(ref, name + '.')) return unknown_key(ref, entry, name);
        const auto* inner = std::get_if<SceneTable>(&entry.value.value);
        if (!inner)
            return add(entry.value.place,
                       fmt::format("{} in {} is {}; allowed is a table with {}", in_quotes(name),
                                   reading_.map.label(ref), found_text(entry.value),
                                   alternatives(inner_names(ref, name + '.'))));
        for (const SceneEntry& inside : *inner) read_entry(ref, inside, name + '.');
    }

    void read_key(TableRef ref, const SceneEntry& entry, const Key& key,
                  const std::string& prefix) {
        const std::string name = prefix + entry.key;
        const std::string label = ref.table.empty()
                                      ? in_quotes(name)
                                      : in_quotes(name) + " in " + reading_.map.label(ref);
        const bool sound =
            read_value(entry.value, key, label, key.field(reading_.shoot), reading_.problems);
        reading_.map.add_key(ref, name, entry, sound);
    }

    /// Whether a key means something beside the choice that it is tied to.
    bool fits(TableRef ref, const Key& key) {
        if (key.tie.choice.empty() || !reading_.map.is_sound(ref, key.tie.choice)) return true;
        const std::string word = tied_word(key);
        return std::find(key.tie.words.begin(), key.tie.words.end(), word) != key.tie.words.end();
    }

    std::string tied_word(const Key& key) {
        return word_of(find_key(key.table, key.tie.choice)->field(reading_.shoot));
    }

    void refuse_tied(TableRef ref, const Key& key) {
        const std::vector<std::string> words(key.tie.words.begin(), key.tie.words.end());
        add(reading_.map.key(ref, key.name),
            fmt::format("{} in {} means nothing with {} = {}; allowed with {} = {}",
                        in_quotes(key.name), reading_.map.label(ref), key.tie.choice,
                        in_quotes(tied_word(key)), key.tie.choice, alternatives(words)));
    }

    static std::vector<std::string> inner_names(TableRef ref, const std::string& prefix) {
        std::vector<std::string> names;
        for (const std::string& name : key_names(ref.table))
            if (name.starts_with(prefix)) names.push_back(name.substr(prefix.size()));
        return names;
    }

    static bool has_inner(TableRef ref, const std::string& prefix) {
        return !inner_names(ref, prefix).empty();
    }

    void unknown_key(TableRef ref, const SceneEntry& entry, const std::string& name) {
        const std::vector<std::string> names = key_names(ref.table);
        std::string help = hint(name, names);
        const std::string home = home_of(name);
        if (!nearest_word(name, names) && !home.empty()) help = "; it belongs in " + home;
        add(entry.place,
            fmt::format("unknown key {} in {}{}", in_quotes(name), reading_.map.label(ref), help));
    }

    /// The table that a misplaced key belongs in, or nothing.
    static std::string home_of(const std::string& name) {
        for (const Key& key : key_table())
            if (key.name == name && !key.table.empty()) return bracketed(key.table);
        return "";
    }

    void unknown_at_top(const SceneEntry& entry) {
        const auto* list = std::get_if<SceneList>(&entry.value.value);
        const bool tables =
            list && !list->empty() && std::holds_alternative<SceneTable>(list->front().value);
        const bool is_table = tables || std::holds_alternative<SceneTable>(entry.value.value);
        std::vector<std::string> names = is_table ? std::vector<std::string>{} : key_names("");
        for (const TableKind& kind : table_kinds()) names.emplace_back(kind.name);
        const std::string home = home_of(entry.key);
        std::string help;
        if (const auto near = nearest_word(entry.key, names)) {
            const bool known = find_table_kind(*near) != nullptr;
            help = fmt::format("; did you mean {}?", known ? bracketed(*near) : in_quotes(*near));
        } else if (!is_table && !home.empty()) {
            help = "; it belongs in " + home;
        } else {
            help = "; known are " + known_at_top(is_table);
        }
        add(is_table ? entry.value.place : entry.place,
            fmt::format("unknown {} {}{}", is_table ? "table" : "key",
                        is_table ? '[' + printable(entry.key, 60) + ']' : in_quotes(entry.key),
                        help));
    }

    static std::string known_at_top(bool tables_only) {
        std::string line = tables_only ? "" : alternatives(key_names("")) + ", ";
        for (const TableKind& kind : table_kinds()) {
            if (&kind != &table_kinds().front())
                line += &kind == &table_kinds().back() ? " and " : ", ";
            line += bracketed(kind.name);
        }
        return line;
    }

    Reading reading_;
};

}  // namespace

Reading read_tables(const SceneTable& file, const std::string& name) {
    return TableReader(name).read(file);
}

}  // namespace lampflight
