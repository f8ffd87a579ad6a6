#include "scene/keys/other_words.h"

#include <algorithm>
#include <array>
#include <vector>

#include <fmt/format.h>

#include "scene/basics/wording.h"
#include "scene/keys/key_table.h"
#include "scene/keys/quantity.h"

namespace lampflight {
namespace {

/// A word with its number, in small letters without signs between.
struct OtherWord {
    std::string_view word;
    std::string_view key;
    std::string_view table{};  ///< the only one in which it means this; empty for any with the key
    double factor = 1.0;
    std::string_view note{};
};

// Of rows with the same word, the first whose key the table has is meant.
constexpr std::array other_words{
    OtherWord{"aperture", "f_number"},
    OtherWord{"fstop", "f_number"},
    OtherWord{"f", "f_number"},
    OtherWord{"fno", "f_number"},
    OtherWord{"stop", "f_number"},
    OtherWord{"exposure", "shutter_s"},
    OtherWord{"exposuretime", "shutter_s"},
    OtherWord{"shutterspeed", "shutter_s"},
    OtherWord{"shuttertime", "shutter_s"},
    OtherWord{"asa", "iso"},
    OtherWord{"sensitivity", "iso"},
    OtherWord{"gain", "iso"},
    OtherWord{"focallength", "focal_mm"},
    OtherWord{"lens", "focal_mm", "camera"},
    OtherWord{"zoom", "focal_mm"},
    OtherWord{"fov", "focal_mm", "", 0.0,
              "it is half the sensor's width, divided by the tangent of half the angle"},
    OtherWord{"fovdeg", "focal_mm", "", 0.0,
              "it is half the sensor's width, divided by the tangent of half the angle"},
    OtherWord{"fieldofview", "focal_mm", "", 0.0,
              "it is half the sensor's width, divided by the tangent of half the angle"},
    OtherWord{"focus", "focus_m"},
    OtherWord{"focusdistance", "focus_m"},
    OtherWord{"resolution", "pixels"},
    OtherWord{"size", "pixels", "camera"},
    OtherWord{"size", "scale", "subject", 0.0, "it is a multiple of the model's size"},
    OtherWord{"sensorsize", "sensor_mm"},
    OtherWord{"sensor", "sensor_mm"},
    OtherWord{"target", "look_at_m", "camera"},
    OtherWord{"lookat", "look_at_m", "camera"},
    OtherWord{"target", "aim", "lamp"},
    OtherWord{"direction", "aim", "lamp"},
    OtherWord{"lookat", "aim", "lamp"},
    OtherWord{"height", "height_m", "flight"},
    OtherWord{"height", "position_m", "", 0.0, "height is its third number"},
    OtherWord{"altitude", "height_m", "flight"},
    OtherWord{"altitude", "elevation_m", "place"},
    OtherWord{"elevation", "height_m", "flight"},
    OtherWord{"pitch", "tilt_deg"},
    OtherWord{"angle", "tilt_deg", "camera"},
    OtherWord{"angle", "beam_deg", "lamp"},
    OtherWord{"yaw", "nose_deg", "flight"},
    OtherWord{"heading", "nose_deg", "flight"},
    OtherWord{"yaw", "bearing_deg"},
    OtherWord{"azimuth", "bearing_deg"},
    OtherWord{"heading", "bearing_deg"},
    OtherWord{"heading", "facing_deg"},
    OtherWord{"azimuth", "facing_deg"},
    OtherWord{"rotation", "facing_deg"},
    OtherWord{"yaw", "facing_deg"},
    OtherWord{"whitebalance", "white_balance_k"},
    OtherWord{"wb", "white_balance_k"},
    OtherWord{"kelvin", "temperature_k"},
    OtherWord{"kelvin", "white_balance_k"},
    OtherWord{"cct", "temperature_k"},
    OtherWord{"temperature", "white_balance_k", "camera"},
    OtherWord{"colourtemperature", "temperature_k"},
    OtherWord{"colourtemperature", "white_balance_k"},
    OtherWord{"colortemperature", "temperature_k"},
    OtherWord{"colortemperature", "white_balance_k"},
    OtherWord{"lumens", "flux_lm"},
    OtherWord{"lumen", "flux_lm"},
    OtherWord{"lm", "flux_lm"},
    OtherWord{"brightness", "flux_lm"},
    OtherWord{"intensity", "flux_lm"},
    OtherWord{"power", "flux_lm", "", 0.0, "it counts lumens, not watts"},
    OtherWord{"powerw", "flux_lm", "", 0.0, "it counts lumens, not watts"},
    OtherWord{"watts", "flux_lm", "", 0.0, "it counts lumens, not watts"},
    OtherWord{"beamangle", "beam_deg"},
    OtherWord{"beamwidth", "beam_deg"},
    OtherWord{"spread", "beam_deg"},
    OtherWord{"flash", "pulse.on_s", "lamp", 0.0, "pulse = { per_minute = 60, on_s = 0.05 }"},
    OtherWord{"radius", "radius_m"},
    OtherWord{"diameter", "radius_m", "", 0.5},
    OtherWord{"diameterm", "radius_m", "", 0.5},
    OtherWord{"width", "face_mm", "lamp"},
    OtherWord{"center", "centre_m"},
    OtherWord{"centerm", "centre_m"},
    OtherWord{"centre", "centre_m"},
    OtherWord{"origin", "centre_m"},
    OtherWord{"speed", "speed_m_s"},
    OtherWord{"velocity", "speed_m_s"},
    OtherWord{"laptime", "lap_s"},
    OtherWord{"duration", "lap_s", "flight"},
    OtherWord{"duration", "shutter_s"},
    OtherWord{"time", "lap_s", "flight"},
    OtherWord{"time", "when", "place"},
    OtherWord{"time", "shutter_s"},
    OtherWord{"period", "lap_s"},
    OtherWord{"laps", "turns"},
    OtherWord{"loops", "turns"},
    OtherWord{"revolutions", "turns"},
    OtherWord{"climb", "rise_m"},
    OtherWord{"start", "from_m", "flight"},
    OtherWord{"end", "to_m", "flight"},
    OtherWord{"svg", "figure", "flight"},
    OtherWord{"drawing", "figure", "flight"},
    OtherWord{"file", "figure", "flight", 0.0, "it is an SVG file; a file of points is waypoints"},
    OtherWord{"csv", "waypoints", "flight"},
    OtherWord{"gpx", "waypoints", "flight"},
    OtherWord{"kml", "waypoints", "flight"},
    OtherWord{"geojson", "waypoints", "flight"},
    OtherWord{"points", "waypoints", "flight"},
    OtherWord{"mirror", "mirrored"},
    OtherWord{"rounding", "corner_radius_m"},
    OtherWord{"cornerradius", "corner_radius_m"},
    OtherWord{"size", "width_m", "flight"},
    OtherWord{"pause", "hold_s"},
    OtherWord{"hover", "hold_s"},
    OtherWord{"wait", "hold_s", "waypoint"},
    OtherWord{"wait", "start_s", "flight"},
    OtherWord{"delay", "start_s", "flight"},
    OtherWord{"delay", "after_s", "take"},
    OtherWord{"home", "home_m"},
    OtherWord{"takeoff", "home_m"},
    OtherWord{"mass", "mass_kg"},
    OtherWord{"weight", "mass_kg"},
    OtherWord{"wind", "wind_m_s", "air"},
    OtherWord{"windspeed", "wind_m_s", "air"},
    OtherWord{"on", "lit"},
    OtherWord{"hanging", "hang_m", "lamp"},
    OtherWord{"striplength", "hang_m", "lamp"},
    OtherWord{"offset", "offset_m", "lamp"},
    OtherWord{"lamp", "carries", "flight"},
    OtherWord{"lamps", "carries", "flight"},
    OtherWord{"lights", "carries", "flight"},
    OtherWord{"lights", "lamps", "take"},
    OtherWord{"flight", "flights", "take"},
    OtherWord{"paths", "flights", "take"},
    OtherWord{"path", "flights", "take"},
    OtherWord{"delays", "after_s", "take"},
    OtherWord{"lat", "latitude_deg"},
    OtherWord{"lon", "longitude_deg"},
    OtherWord{"lng", "longitude_deg"},
    OtherWord{"long", "longitude_deg"},
    OtherWord{"date", "when"},
    OtherWord{"datetime", "when"},
    OtherWord{"moment", "when"},
    OtherWord{"position", "position_m"},
    OtherWord{"location", "position_m"},
    OtherWord{"pos", "position_m"},
    OtherWord{"albedo", "reflectance"},
    OtherWord{"colour", "reflectance", "ground"},
    OtherWord{"color", "reflectance", "ground"},
    OtherWord{"color", "dominant_nm", "lamp", 0.0, "or temperature_k for white light"},
    OtherWord{"colour", "dominant_nm", "lamp", 0.0, "or temperature_k for white light"},
    OtherWord{"color", "beacon.colour", "drone"},
    OtherWord{"colour", "beacon.colour", "drone"},
    OtherWord{"hue", "dominant_nm"},
    OtherWord{"wavelength", "dominant_nm"},
    OtherWord{"dominantwavelength", "dominant_nm"},
    OtherWord{"saturation", "purity"},
    OtherWord{"excitationpurity", "purity"},
    OtherWord{"xy", "chromaticity_xy"},
    OtherWord{"chromaticity", "chromaticity_xy"},
    OtherWord{"strobe", "beacon.per_minute", "drone"},
    OtherWord{"navigationlights", "own_lights", "drone"},
    OtherWord{"positionlights", "own_lights", "drone"},
    OtherWord{"file", "mesh"},
    OtherWord{"obj", "mesh"},
    OtherWord{"type", "shape", "flight"},
    OtherWord{"type", "model", "subject"},
    OtherWord{"type", "kind", "ground"},
    OtherWord{"clouds", "cloud_share"},
    OtherWord{"visibility", "visibility_km"},
    OtherWord{"lux", "horizontal_lx"},
    OtherWord{"illuminance", "horizontal_lx"},
    OtherWord{"mode", "blend", "photograph"},
    OtherWord{"blending", "blend"},
};

struct OtherTable {
    std::string_view word;
    std::string_view table;
};

constexpr std::array other_tables{
    OtherTable{"light", "lamp"},       OtherTable{"lights", "lamp"},
    OtherTable{"torch", "lamp"},       OtherTable{"quadcopter", "drone"},
    OtherTable{"aircraft", "drone"},   OtherTable{"wind", "air"},
    OtherTable{"corner", "waypoint"},  OtherTable{"pen", "stretch"},
    OtherTable{"part", "stretch"},     OtherTable{"section", "stretch"},
    OtherTable{"path", "flight"},      OtherTable{"orbit", "flight"},
    OtherTable{"route", "flight"},     OtherTable{"track", "flight"},
    OtherTable{"exposure", "take"},    OtherTable{"shot", "take"},
    OtherTable{"frame", "take"},       OtherTable{"object", "subject"},
    OtherTable{"model", "subject"},    OtherTable{"mesh", "subject"},
    OtherTable{"person", "subject"},   OtherTable{"location", "place"},
    OtherTable{"site", "place"},       OtherTable{"position", "place"},
    OtherTable{"terrain", "ground"},   OtherTable{"floor", "ground"},
    OtherTable{"atmosphere", "air"},   OtherTable{"haze", "air"},
    OtherTable{"marker", "point"},     OtherTable{"meter", "point"},
    OtherTable{"photo", "photograph"}, OtherTable{"picture", "photograph"},
    OtherTable{"image", "photograph"}, OtherTable{"output", "photograph"},
    OtherTable{"lens", "camera"},      OtherTable{"sensor", "camera"},
    OtherTable{"optics", "camera"},
};

/// In small letters, without the signs that part words.
std::string bare(std::string_view word) {
    std::string letters = lower_case(std::string(word));
    std::erase_if(letters,
                  [](char letter) { return letter == '_' || letter == '-' || letter == ' '; });
    return letters;
}

/// The first key of this name.
const Key* key_at_home(std::string_view name) {
    const auto found = std::ranges::find(key_table(), name, &Key::name);
    return found == key_table().end() ? nullptr : &*found;
}

MeantKey meant_by(const OtherWord& row, const Key& key) {
    return {key.table, key.name, {}, row.factor, row.note};
}

std::optional<MeantKey> by_row(std::string_view table, const std::string& letters) {
    const OtherWord* elsewhere = nullptr;
    for (const OtherWord& row : other_words) {
        if (row.word != letters) continue;
        const Key* key = find_key(table, row.key);
        if (key && (row.table.empty() || row.table == table)) return meant_by(row, *key);
        if (!elsewhere && row.table.empty()) elsewhere = &row;
    }
    if (!elsewhere) return std::nullopt;
    const Key* key = key_at_home(elsewhere->key);
    return key ? std::optional(meant_by(*elsewhere, *key)) : std::nullopt;
}

/// The key whose name without its unit is this.
const Key* key_without_unit(std::string_view table, std::string_view base) {
    for (const Key& key : key_table())
        if (key.table == table && !key.unit.empty() && key.name.size() > base.size() &&
            key.name.starts_with(base) && key.name[base.size()] == '_' &&
            converted(1.0, key.name.substr(base.size() + 1), key.unit))
            return &key;
    return nullptr;
}

std::optional<MeantKey> by_unit(std::string_view table, std::string_view word) {
    for (std::size_t at = word.find('_'); at != word.npos; at = word.find('_', at + 1)) {
        const std::string_view base = word.substr(0, at), from = word.substr(at + 1);
        const Key* key = key_without_unit(table, base);
        double factor = 1.0;
        if (!key) {
            const auto meant = by_row(table, bare(base));
            if (!meant || meant->factor == 0.0 || meant->table != table) continue;
            key = find_key(meant->table, meant->key);
            factor = meant->factor;
        }
        if (converted(1.0, from, key->unit)) return MeantKey{key->table, key->name, from, factor};
    }
    return std::nullopt;
}

}  // namespace

std::optional<MeantKey> meant_key(std::string_view table, std::string_view word) {
    if (auto meant = by_row(table, bare(word))) return meant;
    return by_unit(table, word);
}

std::string_view meant_table(std::string_view word) {
    const std::string letters = bare(word);
    const auto* found = std::ranges::find(other_tables, letters, &OtherTable::word);
    return found == other_tables.end() ? "" : found->table;
}

std::string number_meant(const MeantKey& meant, double number) {
    number *= meant.factor;
    const Key* key = find_key(meant.table, meant.key);
    if (!meant.unit.empty() && key)
        if (const auto text = converted(number, meant.unit, key->unit)) return *text;
    return number_text(number);
}

}  // namespace lampflight
