// From the tree of a scene file to a shoot, by the table of keys; and where everything stood.
#pragma once

#include <map>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "scene/basics/problem.h"
#include "scene/reader/scene_text.h"
#include "scene/shoot/shoot.h"

namespace lampflight {

/// One table of the file: its kind and, in a list, which of them.
struct TableRef {
    std::string_view table;
    std::size_t index = 0;
};

/// Where the keys of a file stand, what its tables are called, and which values could be read.
class SceneMap {
public:
    void add_table(TableRef ref, const TextPlace& place, const std::string& label);
    void add_key(TableRef ref, const std::string& key, const SceneEntry& entry, bool sound);

    const TextPlace& table(TableRef ref) const;    ///< of its header; of the file if absent
    const std::string& label(TableRef ref) const;  ///< `[camera]`, `[[lamp]] "warm"`
    bool has(TableRef ref, std::string_view key) const;
    bool is_sound(TableRef ref, std::string_view key) const;           ///< read, or not there
    const TextPlace& key(TableRef ref, std::string_view key) const;    ///< or of the table
    const TextPlace& value(TableRef ref, std::string_view key) const;  ///< or of the table
    const TextPlace& item(TableRef ref, std::string_view key, std::size_t index) const;
    const TextPlace& item(TableRef ref, std::string_view key, const std::string& name) const;

    /// Whether a table is there in a form that could not be read.
    bool is_broken(std::string_view table) const { return broken_tables.contains(table); }

    TextPlace file;  ///< its beginning
    std::set<std::string_view> broken_tables;

private:
    struct Spot {
        TextPlace key;
        TextPlace value;
        bool sound = true;
    };
    static std::string path(TableRef ref, std::string_view key);

    std::map<std::string, Spot> spots_;
    std::map<std::string, std::string> labels_;
};

/// What came of reading: values that could not be read keep their defaults.
struct Reading {
    Shoot shoot;
    SceneMap map;
    std::vector<Problem> problems;
};

/// Reads every table; refuses unknown tables and keys, wrong kinds and numbers out of range, and
/// misses required ones. `name` is the file's.
Reading read_tables(const SceneTable& file, const std::string& name);

/// `[camera]` or `[[lamp]]`, as the file writes it.
std::string bracketed(std::string_view table);

}  // namespace lampflight
