#include "scene/reader/read_tables.h"

#include <algorithm>

#include <fmt/format.h>

#include "scene/basics/names.h"
#include "scene/basics/nearest_word.h"
#include "scene/basics/wording.h"
#include "scene/keys/key_table.h"
#include "scene/keys/other_words.h"
#include "scene/reader/read_value.h"
#include "scene/reader/value_slip.h"

namespace lampflight {
namespace {

std::string label_of(const TableKind& kind, const SceneValue& entry) {
    const std::string name = name_of(entry);
    return name.empty() ? bracketed(kind.name) : bracketed(kind.name) + ' ' + in_quotes(name);
}

/// Keys of a table that begin with the inner table's name and a dot, without these.
std::vector<std::string> inner_names(TableRef ref, const std::string& prefix) {
    std::vector<std::string> names;
    for (const std::string& name : key_names(ref.table))
        if (name.starts_with(prefix)) names.push_back(name.substr(prefix.size()));
    return names;
}

/// The table that a misplaced key belongs in, or nothing.
std::string home_of(const std::string& name) {
    for (const Key& key : key_table())
        if (key.name == name && !key.table.empty()) return bracketed(key.table);
    return "";
}

/// Whether a value is a table, or a list of them.
bool is_table(const SceneValue& value) {
    const auto* list = std::get_if<SceneList>(&value.value);
    const SceneValue& first = list && !list->empty() ? list->front() : value;
    return std::holds_alternative<SceneTable>(first.value);
}

std::string known_at_top(bool tables_only) {
    std::string line = tables_only ? "" : alternatives(key_names("")) + ", ";
    for (const TableKind& kind : table_kinds()) {
        if (&kind != &table_kinds().front())
            line += &kind == &table_kinds().back() ? " and " : ", ";
        line += bracketed(kind.name);
    }
    return line;
}

/// How a value of the file is to be written under the key that was meant; empty if it can't be
/// told.
std::string value_meant(const MeantKey& meant, const Key& key, const SceneValue& value) {
    std::optional<double> number;
    if (const auto* whole = std::get_if<std::int64_t>(&value.value))
        number = static_cast<double>(*whole);
    if (const auto* real = std::get_if<double>(&value.value)) number = *real;
    if (number) {
        const std::string text = number_meant(meant, *number);
        return meant.factor != 0.0 && within(key.range, std::stod(text)) ? text : "";
    }
    const auto* text = std::get_if<std::string>(&value.value);
    const auto slip = text && meant.factor == 1.0 ? value_slip(*text, key) : std::nullopt;
    return slip && slip->write.find(' ') == slip->write.npos ? slip->write : "";
}

/// What is meant by another word for a key; empty for a word that is not known.
std::string help_by_other_words(std::string_view table, const std::string& word,
                                const SceneValue& value) {
    const auto meant = meant_key(table, word);
    if (!meant) return "";
    const Key& key = *find_key(meant->table, meant->key);
    const std::string number = value_meant(*meant, key, value);
    // A number out of range after its change of unit shows that another word was meant.
    if (number.empty() && !meant->unit.empty()) return "";
    std::string help = fmt::format("; write {}", meant->key);
    if (!number.empty()) help += " = " + number;
    if (meant->table != table) help += fmt::format(" in {}", bracketed(meant->table));
    if (!meant->note.empty()) help += fmt::format("; {}", meant->note);
    return help;
}

/// What may have been meant by an unknown word at the top of a file.
std::string help_at_top(const std::string& word, const SceneValue& value, bool tables_only) {
    if (const std::string_view table = meant_table(word); tables_only && !table.empty())
        return fmt::format("; write {}", bracketed(table));
    if (const std::string help = tables_only ? "" : help_by_other_words("", word, value);
        !help.empty())
        return help;
    std::vector<std::string> names = tables_only ? std::vector<std::string>{} : key_names("");
    for (const TableKind& kind : table_kinds()) names.emplace_back(kind.name);
    if (const auto near = nearest_word(word, names))
        return fmt::format("; did you mean {}?",
                           find_table_kind(*near) ? bracketed(*near) : in_quotes(*near));
    const std::string home = tables_only ? "" : home_of(word);
    return home.empty() ? "; known are " + known_at_top(tables_only) : "; it belongs in " + home;
}

class TableReader {
public:
    explicit TableReader(const std::string& name) { reading_.map.file = {name, 1, 1}; }

    Reading read(const SceneTable& file) {
        reading_.map.add_table({"", 0}, reading_.map.file, "the file");
        for (const SceneEntry& entry : file) top_entry(entry);
        for (const TableKind& kind : table_kinds())
            if (kind.need == Need::required && !find_entry(file, std::string(kind.name)))
                add(reading_.map.file, "the file has no {}; it is required", bracketed(kind.name));
        return std::move(reading_);
    }

private:
    template <class... Values>
    void add(const TextPlace& place, fmt::format_string<Values...> text, Values&&... values) {
        reading_.problems.push_back(
            problem_at(place, fmt::format(text, std::forward<Values>(values)...)));
    }

    void top_entry(const SceneEntry& entry) {
        if (const TableKind* kind = find_table_kind(entry.key)) {
            kind->is_list() ? list_of_tables(entry, *kind) : single_table(entry, *kind);
        } else if (const Key* key = find_key("", entry.key)) {
            read_key({"", 0}, entry, *key, entry.key);
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
        add(entry.value.place, "{} is {}; allowed is one table, written [{}]", in_quotes(entry.key),
            found_text(entry.value), entry.key);
    }

    void list_of_tables(const SceneEntry& entry, const TableKind& kind) {
        const auto* list = std::get_if<SceneList>(&entry.value.value);
        if (!list || list->empty()) {
            reading_.map.broken_tables.insert(kind.name);
            return add(entry.value.place,
                       "{} is {}; allowed is one table or more, each written [[{}]]",
                       in_quotes(entry.key), found_text(entry.value), entry.key);
        }
        if (list->size() > kind.most)
            add((*list)[kind.most].place, "the file has {} times [[{}]]; allowed is up to {}",
                list->size(), entry.key, kind.most);
        for (std::size_t i = 0; i < std::min(list->size(), kind.most); ++i)
            list_entry({kind.name, i}, (*list)[i], kind);
    }

    void list_entry(TableRef ref, const SceneValue& value, const TableKind& kind) {
        kind.append(reading_.shoot);
        reading_.map.add_table(ref, value.place, label_of(kind, value));
        if (const auto* table = std::get_if<SceneTable>(&value.value))
            return table_entries(ref, *table);
        reading_.map.broken_tables.insert(kind.name);
        add(value.place, "{} holds {}; allowed are tables, each written [[{}]]",
            in_quotes(kind.name), found_text(value), kind.name);
    }

    void table_entries(TableRef ref, const SceneTable& table) {
        for (const SceneEntry& entry : table) read_entry(ref, entry, "");
        for (const Key& key : key_table()) {
            if (key.table != ref.table) continue;
            if (reading_.map.has(ref, key.name)) {
                if (!fits(ref, key)) refuse_tied(ref, key);
            } else if (key.need == Need::required && fits(ref, key) &&
                       reading_.map.is_sound(ref, key.tie.choice)) {
                add(reading_.map.table(ref), "{} has no {}; required is {}",
                    reading_.map.label(ref), in_quotes(key.name), allowed_text(key));
            }
        }
    }

    /// One key of a table; `prefix` holds the inner tables with a dot behind each.
    void read_entry(TableRef ref, const SceneEntry& entry, const std::string& prefix) {
        const std::string name = prefix + entry.key;
        if (const Key* key = find_key(ref.table, name)) return read_key(ref, entry, *key, name);
        const std::vector<std::string> names = inner_names(ref, name + '.');
        if (names.empty()) return unknown_key(ref, entry, name);
        const auto* inner = std::get_if<SceneTable>(&entry.value.value);
        if (!inner)
            return add(entry.value.place, "{} is {}; allowed is a table with {}",
                       reading_.map.label(ref, name), found_text(entry.value), alternatives(names));
        for (const SceneEntry& inside : *inner) read_entry(ref, inside, name + '.');
    }

    void read_key(TableRef ref, const SceneEntry& entry, const Key& key, const std::string& name) {
        const bool sound = read_value(entry.value, key, reading_.map.label(ref, name),
                                      key.field(reading_.shoot), reading_.problems);
        reading_.map.add_key(ref, name, entry, sound);
    }

    /// Whether a key means something beside the choice that it is tied to.
    bool fits(TableRef ref, const Key& key) {
        if (key.tie.choice.empty() || !reading_.map.is_sound(ref, key.tie.choice)) return true;
        return contains(key.tie.words, tied_word(key));
    }

    std::string tied_word(const Key& key) {
        return word_of(find_key(key.table, key.tie.choice)->field(reading_.shoot));
    }

    void refuse_tied(TableRef ref, const Key& key) {
        const std::vector<std::string> words(key.tie.words.begin(), key.tie.words.end());
        add(reading_.map.key(ref, key.name),
            "{} means nothing with {} = {}; leave it out, or choose {} = {}",
            reading_.map.label(ref, key.name), key.tie.choice, in_quotes(tied_word(key)),
            key.tie.choice, alternatives(words));
    }

    void unknown_key(TableRef ref, const SceneEntry& entry, const std::string& name) {
        std::string help = help_by_other_words(ref.table, name, entry.value);
        if (help.empty()) {
            const std::vector<std::string> names = key_names(ref.table);
            const std::string home = nearest_word(name, names) ? "" : home_of(name);
            help = home.empty() ? hint(name, names) : "; it belongs in " + home;
        }
        add(entry.place, "unknown key {}{}", reading_.map.label(ref, name), help);
    }

    void unknown_at_top(const SceneEntry& entry) {
        const bool tables = is_table(entry.value);
        add(tables ? entry.value.place : entry.place, "unknown {} {}{}", tables ? "table" : "key",
            tables ? '[' + printable(entry.key, 60) + ']' : in_quotes(entry.key),
            help_at_top(entry.key, entry.value, tables));
    }

    Reading reading_;
};

}  // namespace

Reading read_tables(const SceneTable& file, const std::string& name) {
    return TableReader(name).read(file);
}

}  // namespace lampflight
