#include "scene/keys/key_table.h"

#include "scene/keys/key_rows.h"

namespace lampflight {
namespace {

template <auto entries>
void append_to(Shoot& shoot) {
    (shoot.*entries).emplace_back();
}

std::vector<Key> make_table() {
    std::vector<Key> table{{"title", field<&Shoot::title>, "What the photograph is called."}};
    for (const TableKind& kind : table_kinds())
        for (const Key& key : kind.keys()) table.emplace_back(key).table = kind.name;
    return table;
}

}  // namespace

const std::vector<TableKind>& table_kinds() {
    static const std::vector<TableKind> kinds{
        {"place", place_keys},
        {"sky", sky_keys},
        {"air", air_keys},
        {"ground", ground_keys},
        {.name = "camera", .keys = camera_keys, .need = Need::required},
        {"subject", subject_keys, append_to<&Shoot::subjects>, 100},
        {"lamp", lamp_keys, append_to<&Shoot::lamps>, 100},
        {"drone", drone_keys, append_to<&Shoot::drones>, 50},
        {"flight", flight_keys, append_to<&Shoot::flights>, 200},
        {"waypoint", waypoint_keys, append_to<&Shoot::waypoints>, 2000},
        {"stretch", stretch_keys, append_to<&Shoot::stretches>, 1000},
        {"point", point_keys, append_to<&Shoot::points>, 1000},
        {"take", take_keys, append_to<&Shoot::takes>, 200, Need::required},
        {"photograph", photograph_keys},
    };
    return kinds;
}

const std::vector<Key>& key_table() {
    static const std::vector<Key> table = make_table();
    return table;
}

const TableKind* find_table_kind(std::string_view name) {
    for (const TableKind& kind : table_kinds())
        if (kind.name == name) return &kind;
    return nullptr;
}

const Key* find_key(std::string_view table, std::string_view name) {
    for (const Key& key : key_table())
        if (key.table == table && key.name == name) return &key;
    return nullptr;
}

std::vector<std::string> key_names(std::string_view table) {
    std::vector<std::string> names;
    for (const Key& key : key_table())
        if (key.table == table) names.emplace_back(key.name);
    return names;
}

}  // namespace lampflight
