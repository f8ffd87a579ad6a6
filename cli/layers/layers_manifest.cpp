#include "cli/layers/layers_manifest.h"

#include <algorithm>
#include <array>
#include <limits>
#include <string_view>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "cli/layers/unfit_layers.h"
#include "cli/session/json_text.h"
#include "cli/session/quality_words.h"
#include "scene/basics/wording.h"

namespace lampflight {
namespace {

using nlohmann::ordered_json;

const ordered_json& at(const ordered_json& object, const char* key) {
    const auto found = object.is_object() ? object.find(key) : object.end();
    if (!object.is_object() || found == object.end())
        throw UnfitLayers{fmt::format("its list of layers has no \"{}\" where one is needed", key)};
    return *found;
}

const ordered_json& list_at(const ordered_json& object, const char* key) {
    const ordered_json& list = at(object, key);
    constexpr std::size_t most = 10'000;
    if (!list.is_array() || list.size() > most)
        throw UnfitLayers{fmt::format("\"{}\" in its list of layers is no list", key)};
    return list;
}

std::string text_at(const ordered_json& object, const char* key) {
    const ordered_json& text = at(object, key);
    if (!text.is_string())
        throw UnfitLayers{fmt::format("\"{}\" in its list of layers is no text", key)};
    return text.get<std::string>();
}

std::int64_t whole_at(const ordered_json& object, const char* key, std::int64_t low,
                      std::int64_t high) {
    const ordered_json& number = at(object, key);
    if (number.is_number_unsigned() &&
        number.get<std::uint64_t>() > std::numeric_limits<std::int64_t>::max())
        throw UnfitLayers{fmt::format("\"{}\" in its list of layers is too large", key)};
    if (!number.is_number_integer() || number.get<std::int64_t>() < low ||
        number.get<std::int64_t>() > high)
        throw UnfitLayers{fmt::format(
            "\"{}\" in its list of layers is no whole number from {} to {}", key, low, high)};
    return number.get<std::int64_t>();
}

double scale_at(const ordered_json& object) {
    const ordered_json& number = at(object, "scale");
    constexpr double largest = 1e9;
    if (!number.is_number()) throw UnfitLayers{"a \"scale\" in its list of layers is no number"};
    const auto scale = number.get<double>();
    if (!(scale > 0.0 && scale < largest))
        throw UnfitLayers{"a \"scale\" in its list of layers is out of range"};
    return scale;
}

/// Adds an entry; each may be there once.
template <class Entry, class Id>
void add_new(std::vector<Entry>& list, Id Entry::*id, Entry entry) {
    if (std::ranges::find(list, entry.*id, id) != list.end())
        throw UnfitLayers{"its list of layers names one twice"};
    list.push_back(std::move(entry));
}

ordered_json json_of(const LayerInFile& layer) {
    ordered_json json{{"name", layer.id.text()}};
    for (const FilmInFile& film : layer.films)
        json["films"].push_back({{"part", film.part}, {"scale", film.scale}});
    if (layer.trail)
        json["trail"] = {{"part", layer.trail->part},
                         {"reached_pixels", layer.trail->reached_pixels},
                         {"parts_across", layer.trail->parts_across}};
    return json;
}

LayerInFile read_layer(const ordered_json& json) {
    const std::string name = text_at(json, "name");
    const std::optional<LayerId> id = layer_id_of(name);
    if (!id) throw UnfitLayers{"its list of layers has an unknown one, " + in_quotes(name)};
    LayerInFile layer{*id};
    if (json.contains("films"))
        for (const ordered_json& film : list_at(json, "films")) {
            FilmInFile read{text_at(film, "part"), scale_at(film)};
            if (std::ranges::find(layer.films, read.part, &FilmInFile::part) != layer.films.end())
                throw UnfitLayers{"its list of layers names a film twice"};
            layer.films.push_back(std::move(read));
        }
    if (json.contains("trail")) {
        const ordered_json& trail = at(json, "trail");
        constexpr std::int64_t most_pixels = 256'000'000;
        constexpr std::int64_t most_parts = 16;
        layer.trail =
            TrailInFile{text_at(trail, "part"), whole_at(trail, "reached_pixels", 0, most_pixels),
                        static_cast<int>(whole_at(trail, "parts_across", 1, most_parts))};
    }
    return layer;
}

LayersManifest from_json(const ordered_json& json) {
    if (whole_at(json, "format", 1, std::numeric_limits<int>::max()) != layers_format)
        throw UnfitLayers{"another version of lampflight wrote it, in another format"};
    constexpr std::int64_t longest_side = 20'000;
    LayersManifest manifest;
    manifest.program_version = text_at(json, "program_version");
    manifest.scene_name = text_at(json, "scene_name");
    manifest.pixels = {whole_at(json, "width_px", 1, longest_side),
                       whole_at(json, "height_px", 1, longest_side)};
    const auto word = std::ranges::find(quality_words, text_at(json, "quality"));
    if (word == quality_words.end()) throw UnfitLayers{"it was made at an unknown quality"};
    constexpr std::int64_t most_bounces = 100;
    manifest.settings = {static_cast<Quality>(word - quality_words.begin()),
                         static_cast<int>(whole_at(json, "bounces", 0, most_bounces))};
    for (const ordered_json& change : list_at(json, "changes"))
        manifest.changes.push_back({text_at(change, "key"), text_at(change, "value")});
    if (json.contains("path_files"))
        for (const ordered_json& file : list_at(json, "path_files"))
            manifest.path_files.emplace(text_at(file, "name"), text_at(file, "text"));
    for (const ordered_json& take : list_at(json, "takes")) {
        TakeInFile read{text_at(take, "name")};
        for (const ordered_json& layer : list_at(take, "layers"))
            add_new(read.layers, &LayerInFile::id, read_layer(layer));
        add_new(manifest.takes, &TakeInFile::name, std::move(read));
    }
    return manifest;
}

}  // namespace

std::string manifest_text(const LayersManifest& manifest) {
    const RenderSettings& settings = manifest.settings;
    ordered_json json{{"format", layers_format},
                      {"program_version", manifest.program_version},
                      {"scene_name", manifest.scene_name},
                      {"width_px", manifest.pixels.x},
                      {"height_px", manifest.pixels.y},
                      {"quality", quality_words[static_cast<std::size_t>(settings.quality)]},
                      {"bounces", settings.bounces},
                      {"changes", ordered_json::array()},
                      {"takes", ordered_json::array()}};
    for (const Override& change : manifest.changes)
        json["changes"].push_back({{"key", change.key}, {"value", change.value}});
    for (const auto& [name, text] : manifest.path_files)
        json["path_files"].push_back({{"name", name}, {"text", text}});
    for (const TakeInFile& take : manifest.takes) {
        ordered_json layers = ordered_json::array();
        for (const LayerInFile& layer : take.layers) layers.push_back(json_of(layer));
        json["takes"].push_back({{"name", take.name}, {"layers", std::move(layers)}});
    }
    return json_text(json);
}

LayersManifest read_manifest(const std::string& text) {
    constexpr bool no_exceptions = false;
    const ordered_json json = ordered_json::parse(text, nullptr, no_exceptions);
    if (json.is_discarded()) throw UnfitLayers{"its list of layers can't be read"};
    return from_json(json);
}

}  // namespace lampflight
