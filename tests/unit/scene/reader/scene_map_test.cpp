// Where tables, keys and the items of their values are said to stand.
#include "scene/reader/scene_map.h"

#include <doctest/doctest.h>

#include "scene/reader/read_tables.h"

using namespace lampflight;

namespace {

const std::string scene_with_takes = R"([[take]]
name = "gate"
lamps = ["post",
  "lantern"]
lamp_stops = { post = 1, "" = 2, lantern = "dim" }
)";

SceneMap map_of_text() {
    const Checked<SceneTable> parsed = read_scene_text(scene_with_takes, "map.toml");
    return read_tables(std::get<SceneTable>(parsed), "map.toml").map;
}

std::string at(const TextPlace& place) {
    return std::to_string(place.line) + ':' + std::to_string(place.column);
}

}  // namespace

TEST_CASE("A table, a key, its value and its items stand where the file writes them") {
    const SceneMap map = map_of_text();
    const TableRef take{"take", 0};
    CHECK(at(map.table(take)) == "1:1");
    CHECK(at(map.key(take, "lamps")) == "3:1");
    CHECK(at(map.value(take, "lamps")) == "3:9");
    CHECK(at(map.item(take, "lamps", 0)) == "3:10");
    CHECK(at(map.item(take, "lamps", 1)) == "4:3");
    CHECK(at(map.item(take, "lamp_stops", "post")) == "5:16");
    CHECK(at(map.item(take, "lamp_stops", "")) == "5:26");
    CHECK(at(map.value(take, "lamp_stops")) == "5:14");
}

TEST_CASE("What is not there stands at its table, and a table that is not there at the file") {
    const SceneMap map = map_of_text();
    CHECK_FALSE(map.has({"take", 0}, "flights"));
    CHECK(at(map.key({"take", 0}, "flights")) == "1:1");
    CHECK_FALSE(map.has({"take", 1}));
    CHECK(map.value({"camera", 0}, "iso").file == "map.toml");
    CHECK(at(map.value({"camera", 0}, "iso")) == "1:1");
}

TEST_CASE("A value that could not be read is unsound, and one that is not there is not") {
    const SceneMap map = map_of_text();
    CHECK(map.is_sound({"take", 0}, "lamps"));
    CHECK_FALSE(map.is_sound({"take", 0}, "lamp_stops"));
    CHECK(map.is_sound({"take", 0}, "iso"));
    CHECK_FALSE(map.all_sound({"take", 0}, {"lamps", "lamp_stops"}));
    CHECK(map.label({"take", 0}, "lamps") == "\"lamps\" in [[take]] \"gate\"");
}
