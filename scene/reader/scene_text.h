// Parser: from the text of a scene file to a tree of values that know where they stand.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "scene/basics/problem.h"
#include "scene/sky/place.h"

namespace lampflight {

/// Where a value stands. Values of `--set` have the override as their file and line 0.
struct TextPlace {
    std::string file;
    int line = 0;
    int column = 0;
};

struct SceneValue;
struct SceneEntry;
using SceneList = std::vector<SceneValue>;
using SceneTable = std::vector<SceneEntry>;  ///< in the order of the file

/// What the file writes as a date, a time or both; a moment only with both and an offset.
struct DateOrTime {
    std::optional<Moment> moment{};
    std::string written{};  ///< a date with or without its time; empty for a time alone
};

struct SceneValue {
    TextPlace place;
    std::variant<DateOrTime, bool, std::int64_t, double, std::string, SceneList, SceneTable> value;
};

struct SceneEntry {
    std::string key;
    TextPlace place;
    SceneValue value;
};

/// Largest scene file in bytes; a scene by hand is a hundredth of it.
constexpr std::size_t largest_scene_bytes = 1'000'000;

/// Reads TOML. Refuses what no scene needs: binary data, text that is not UTF-8, more than
/// `largest_scene_bytes`, keys and brackets nested more than a few deep.
Checked<SceneTable> read_scene_text(const std::string& text, const std::string& name);

/// The value of a `--set`: TOML if it is a TOML value, else the bare text.
SceneValue read_override_value(const std::string& text, const std::string& name);

const SceneEntry* find_entry(const SceneTable& table, const std::string& key);
SceneEntry* find_entry(SceneTable& table, const std::string& key);

/// What a table writes as its name; empty for none, and for what is no table.
std::string name_of(const SceneValue& value);

Problem problem_at(const TextPlace& place, std::string text);

}  // namespace lampflight
