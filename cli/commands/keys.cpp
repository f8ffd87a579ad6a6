// `lampflight keys`: the reference of everything that a scene file may hold.
#include <algorithm>
#include <memory>
#include <string>
#include <vector>

#include <CLI/CLI.hpp>

#include "cli/commands/commands.h"
#include "cli/commands/help_page.h"
#include "cli/commands/shared_options.h"
#include "cli/reports/table.h"
#include "cli/session/json_text.h"
#include "cli/session/output_width.h"
#include "scene/basics/wording.h"
#include "scene/keys/keys.h"

namespace lampflight {
namespace {

struct KeysWords {
    std::string table;  ///< only this one; empty for all
    bool json = false;
};

/// Keys that stand at the head of a scene file, outside any table, go by this name.
const char* const top_table = "scene";

std::string table_name(const KeyInfo& key) {
    return key.table.empty() ? top_table : key.table;
}

std::vector<std::string> table_names(const std::vector<KeyInfo>& keys) {
    std::vector<std::string> names;
    for (const KeyInfo& key : keys)
        if (std::find(names.begin(), names.end(), table_name(key)) == names.end())
            names.push_back(table_name(key));
    return names;
}

/// "number, 4 to 2000 mm; default 24".
std::string value_text(const KeyInfo& key) {
    std::string text = key.kind;
    const bool tells_unit = key.allowed.ends_with(" " + key.unit);
    for (const std::string& part : {tells_unit ? "" : key.unit, key.allowed})
        if (!part.empty()) text += ", " + part;
    if (key.fallback == "required") return text + "; required";
    return key.fallback == "none" ? text : text + "; default " + key.fallback;
}

std::string table_text(const std::vector<KeyInfo>& keys, const std::string& name,
                       std::size_t width) {
    Table table{{{name}, {"Value", Align::left, 44, 24}, {"Meaning", Align::left, 80, 24}}, {}};
    for (const KeyInfo& key : keys)
        if (table_name(key) == name) table.rows.push_back({key.name, value_text(key), key.meaning});
    return to_text(table, width);
}

std::string keys_json(const std::vector<KeyInfo>& keys) {
    nlohmann::ordered_json json = nlohmann::ordered_json::array();
    for (const KeyInfo& key : keys)
        json.push_back({{"table", key.table},
                        {"name", key.name},
                        {"kind", key.kind},
                        {"unit", key.unit},
                        {"allowed", key.allowed},
                        {"default", key.fallback},
                        {"meaning", key.meaning}});
    return json_text(json);
}

Outcome run_keys(const KeysWords& words) {
    std::vector<KeyInfo> keys = scene_keys();
    std::vector<std::string> names = table_names(keys);
    if (!words.table.empty()) {
        if (std::find(names.begin(), names.end(), words.table) == names.end())
            return wrong_words("a scene has no table " + in_quotes(words.table) +
                               hint(words.table, names));
        names = {words.table};
        std::erase_if(keys, [&](const KeyInfo& key) { return table_name(key) != words.table; });
    }
    if (words.json) return {ExitCode::done, keys_json(keys), ""};
    std::string text;
    for (const std::string& name : names) {
        if (!text.empty()) text += "\n";
        text += table_text(keys, name, output_columns());
    }
    return {ExitCode::done, text, ""};
}

}  // namespace

RunCommand offer_keys(CLI::App& app) {
    const auto words = std::make_shared<KeysWords>();
    app.add_option("TABLE", words->table, "Only this table: camera, lamp, flight and so on")
        ->option_text(" ");
    add_json_flag(app, words->json);
    set_help(app, "lampflight keys [TABLE] [options]",
             "World axes are metres east, north and up; bearings run clockwise from north; "
             "seconds count from the opening of the shutter. A key that stands in the file "
             "under [camera] is camera.iso for --set; one under [[lamp]] is lamp.NAME.flux_lm.\n"
             "\n"
             "Example:\n"
             "  lampflight keys flight");
    return [words](const Session&) { return run_keys(*words); };
}

}  // namespace lampflight
