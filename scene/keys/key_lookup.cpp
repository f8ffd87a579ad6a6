// Finding tables and keys by their names.
#include "scene/keys/key_table.h"

namespace lampflight {

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
