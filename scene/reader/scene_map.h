// Source map of a scene file: where its keys stand, what its tables are called, what could be read.
#pragma once

#include <compare>
#include <initializer_list>
#include <map>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "scene/reader/scene_text.h"

namespace lampflight {

/// One table of the file: its kind and, in a list, which of them.
struct TableRef {
    std::string_view table;
    std::size_t index = 0;

    auto operator<=>(const TableRef&) const = default;
};

class SceneMap {
public:
    void add_table(TableRef ref, const TextPlace& place, const std::string& label);
    void add_key(TableRef ref, const std::string& key, const SceneEntry& entry, bool sound);

    bool has(TableRef ref) const { return tables_.contains(ref); }
    bool has(TableRef ref, std::string_view key) const { return find(ref, key) != nullptr; }
    bool is_sound(TableRef ref, std::string_view key) const;  ///< read, or not there
    bool all_sound(TableRef ref, std::initializer_list<std::string_view> keys) const;

    const std::string& label(TableRef ref) const;                 ///< `[camera]`, `[[lamp]] "warm"`
    std::string label(TableRef ref, std::string_view key) const;  ///< `"iso" in [camera]`

    const TextPlace& table(TableRef ref) const;  ///< of its header; of the file if absent
    const TextPlace& key(TableRef ref, std::string_view key) const;    ///< or of the table
    const TextPlace& value(TableRef ref, std::string_view key) const;  ///< or of the table

    // One of a list's items or an inner table's values; the key and the item are there.
    const TextPlace& item(TableRef ref, std::string_view key, std::size_t index) const;
    const TextPlace& item(TableRef ref, std::string_view key, const std::string& name) const;

    /// Whether a table is there in a form that could not be read.
    bool is_broken(std::string_view table) const { return broken_tables.contains(table); }

    TextPlace file;  ///< its beginning
    std::set<std::string_view> broken_tables;

private:
    struct KeySpot {
        TextPlace key;
        TextPlace value;
        bool sound;
        std::vector<TextPlace> items;            ///< of a list
        std::map<std::string, TextPlace> named;  ///< of an inner table
    };
    struct TableSpot {
        TextPlace header;
        std::string label;
        std::map<std::string, KeySpot, std::less<>> keys;
    };
    const KeySpot* find(TableRef ref, std::string_view key) const;

    std::map<TableRef, TableSpot> tables_;
};

}  // namespace lampflight
