// Other words for keys and tables.
#include <doctest/doctest.h>

#include "scene/keys/key_table.h"
#include "scene/keys/other_words.h"

using namespace lampflight;

namespace {

/// "table.key" of what is meant by a word; empty for none.
std::string meant(std::string_view table, std::string_view word) {
    const auto key = meant_key(table, word);
    return key ? std::string(key->table) + '.' + std::string(key->key) : "";
}

}  // namespace

TEST_CASE("Other words for a key are known, however their parts are joined") {
    CHECK(meant("camera", "aperture") == "camera.f_number");
    CHECK(meant("camera", "shutter_speed") == "camera.shutter_s");
    CHECK(meant("camera", "shutterSpeed") == "camera.shutter_s");
    CHECK(meant("camera", "shutter-speed") == "camera.shutter_s");
    CHECK(meant("take", "aperture") == "take.f_number");
    CHECK(meant("place", "lat") == "place.latitude_deg");
    CHECK(meant("flight", "lap_time") == "flight.lap_s");
}

TEST_CASE("A word means what its table has") {
    CHECK(meant("camera", "kelvin") == "camera.white_balance_k");
    CHECK(meant("lamp", "kelvin") == "lamp.temperature_k");
    CHECK(meant("flight", "altitude") == "flight.height_m");
    CHECK(meant("place", "altitude") == "place.elevation_m");
    CHECK(meant("camera", "height") == "camera.position_m");
    CHECK(meant("lamp", "aperture") == "camera.f_number");
    CHECK(meant("", "speed") == "flight.speed_m_s");
}

TEST_CASE("Colour has its own words") {
    for (const char* word : {"wavelength", "color", "colour", "hue"})
        CHECK(meant("lamp", word) == "lamp.dominant_nm");
    CHECK(meant("lamp", "saturation") == "lamp.purity");
    CHECK(meant("lamp", "xy") == "lamp.chromaticity_xy");
    CHECK(meant("drone", "colour") == "drone.beacon.colour");
    CHECK(meant("drone", "strobe") == "drone.beacon.per_minute");
    CHECK(meant("ground", "colour") == "ground.reflectance");
}

TEST_CASE("A key with another unit at its end is known with its change of number") {
    const auto feet = meant_key("flight", "height_ft");
    REQUIRE(feet);
    CHECK(feet->key == "height_m");
    CHECK(number_meant(*feet, 26.0) == "7.92");
    const auto minutes = meant_key("camera", "shutter_min");
    REQUIRE(minutes);
    CHECK(minutes->key == "shutter_s");
    CHECK(number_meant(*minutes, 20.0) == "1200");
    const auto diameter = meant_key("flight", "diameter_ft");
    REQUIRE(diameter);
    CHECK(number_meant(*diameter, 40.0) == "6.1");
    CHECK_FALSE(meant_key("camera", "shutter_ft"));
    CHECK_FALSE(meant_key("camera", "colour"));
}

TEST_CASE("Other words for tables are known") {
    CHECK(meant_table("light") == "lamp");
    CHECK(meant_table("Path") == "flight");
    CHECK(meant_table("weather").empty());
}

TEST_CASE("No other word hides a word of the table itself") {
    for (const Key& key : key_table()) CHECK(find_key(key.table, key.name) == &key);
    for (const TableKind& kind : table_kinds()) CHECK(find_table_kind(kind.name) == &kind);
    for (const TableKind& kind : table_kinds())
        for (const Key& key : key_table())
            if (const auto other = meant_key(kind.name, key.name))
                CHECK_MESSAGE(find_key(other->table, other->key), kind.name, ' ', key.name);
}
