#include "scene/reader/scene_map.h"

#include <algorithm>

#include "scene/basics/wording.h"

namespace lampflight {

void SceneMap::add_table(TableRef ref, const TextPlace& place, const std::string& label) {
    tables_[ref] = {.header = place, .label = label, .keys = {}};
}

void SceneMap::add_key(TableRef ref, const std::string& key, const SceneEntry& entry, bool sound) {
    KeySpot spot{entry.place, entry.value.place, sound, {}, {}};
    if (const auto* list = std::get_if<SceneList>(&entry.value.value))
        for (const SceneValue& item : *list) spot.items.push_back(item.place);
    if (const auto* inner = std::get_if<SceneTable>(&entry.value.value))
        for (const SceneEntry& named : *inner) spot.named[named.key] = named.place;
    tables_.at(ref).keys.insert_or_assign(key, std::move(spot));
}

const SceneMap::KeySpot* SceneMap::find(TableRef ref, std::string_view key) const {
    const auto table = tables_.find(ref);
    if (table == tables_.end()) return nullptr;
    const auto spot = table->second.keys.find(key);
    return spot == table->second.keys.end() ? nullptr : &spot->second;
}

bool SceneMap::is_sound(TableRef ref, std::string_view key) const {
    const KeySpot* spot = find(ref, key);
    return !spot || spot->sound;
}

bool SceneMap::all_sound(TableRef ref, std::initializer_list<std::string_view> keys) const {
    return std::all_of(keys.begin(), keys.end(),
                       [&](std::string_view key) { return is_sound(ref, key); });
}

const std::string& SceneMap::label(TableRef ref) const {
    return tables_.at(ref).label;
}

std::string SceneMap::label(TableRef ref, std::string_view key) const {
    const std::string name = in_quotes(key);
    return ref.table.empty() ? name : name + " in " + label(ref);
}

const TextPlace& SceneMap::table(TableRef ref) const {
    const auto table = tables_.find(ref);
    return table == tables_.end() ? file : table->second.header;
}

const TextPlace& SceneMap::key(TableRef ref, std::string_view key) const {
    const KeySpot* spot = find(ref, key);
    return spot ? spot->key : table(ref);
}

const TextPlace& SceneMap::value(TableRef ref, std::string_view key) const {
    const KeySpot* spot = find(ref, key);
    return spot ? spot->value : table(ref);
}

const TextPlace& SceneMap::item(TableRef ref, std::string_view key, std::size_t index) const {
    return find(ref, key)->items.at(index);
}

const TextPlace& SceneMap::item(TableRef ref, std::string_view key, const std::string& name) const {
    return find(ref, key)->named.at(name);
}

}  // namespace lampflight
