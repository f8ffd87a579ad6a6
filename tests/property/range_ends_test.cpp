// Every number that a scene may hold, at both ends of its range: a picture of finite numbers, or
// problems in words.
#include <doctest/doctest.h>

#include <cmath>
#include <optional>
#include <string>
#include <string_view>
#include <type_traits>
#include <variant>
#include <vector>

#include <fmt/format.h>

#include "renderer/develop/photograph.h"
#include "renderer/expose/expose.h"
#include "scene/keys/key_table.h"
#include "scene/reader/read_shoot.h"

using namespace lampflight;

namespace {

const std::string small_scene = R"([sky]
horizontal_lx = 0.05
[ground]
kind = "rough"
[air]
wind_m_s = 2
[camera]
pixels = [16, 12]
position_m = [0, -14, 1.5]
look_at_m = [0, 0, 3]
f_number = 8
shutter_s = 8
focus_m = 14
[[subject]]
name = "rock"
model = "boulder"
[[lamp]]
name = "amber"
pulse = { per_minute = 60, on_s = 0.2 }
[[lamp]]
name = "post"
position_m = [3, 2, 2.5]
[[drone]]
name = "one"
[[flight]]
name = "lap"
shape = "circle"
height_m = 5
radius_m = 4
drone = "one"
carries = ["amber"]
[[take]]
name = "night"
flights = ["lap"]
)";

/// The entry of a list that a change is about.
std::string entry_of(std::string_view table) {
    if (table == "subject") return "subject.rock";
    if (table == "lamp") return "lamp.amber";
    if (table == "drone") return "drone.one";
    if (table == "flight") return "flight.lap";
    if (table == "take") return "take.night";
    return std::string(table);
}

/// How a number is written for a key, as often as it takes; nothing for a key without numbers.
std::string written(const Field& field, double number) {
    return std::visit(
        [&](const auto* value) -> std::string {
            using Value = std::remove_cvref_t<decltype(*value)>;
            if constexpr (std::is_same_v<Value, double> || std::is_same_v<Value, int> ||
                          std::is_same_v<Value, std::optional<double>>)
                return fmt::format("{}", number);
            else if constexpr (std::is_same_v<Value, Vec2> || std::is_same_v<Value, glm::ivec2> ||
                               std::is_same_v<Value, std::optional<Vec2>>)
                return fmt::format("[{0}, {0}]", number);
            else if constexpr (std::is_same_v<Value, Vec3> ||
                               std::is_same_v<Value, std::optional<Vec3>>)
                return fmt::format("[{0}, {0}, {0}]", number);
            else
                return "";
        },
        field);
}

bool is_finite(const Image& picture) {
    for (const glm::vec3& pixel : picture.pixels)
        for (int i = 0; i < 3; ++i)
            if (!std::isfinite(pixel[i])) return false;
    return true;
}

/// Whether it was a picture; what is wrong with a picture is told.
bool gives_picture(const std::vector<Override>& changes) {
    const Checked<PlacedShoot> read = read_placed_shoot(small_scene, "small.toml", changes);
    if (const auto* problems = std::get_if<std::vector<Problem>>(&read)) {
        CHECK_FALSE(problems->empty());
        return false;
    }
    const auto& shoot = std::get<PlacedShoot>(read);
    const auto takes = expose(shoot, {.quality = Quality::draft, .bounces = 0});
    REQUIRE(takes.has_value());
    CHECK(is_finite(photograph(shoot, *takes, Noise::counted)));
    return true;
}

}  // namespace

TEST_CASE("each number at either end of its range gives finite numbers, or problems") {
    Shoot sample;
    int pictures = 0;
    REQUIRE(gives_picture({}));
    for (const Key& key : key_table()) {
        if (entry_of(key.table).empty() || key.table == "place") continue;
        for (const double end : {key.range.low, key.range.high}) {
            const std::string value = written(sample_field(key, sample), end);
            if (value.empty() || !std::isfinite(end)) continue;
            std::vector<Override> changes;
            if (!key.tie.choice.empty())
                changes.push_back({fmt::format("{}.{}", entry_of(key.table), key.tie.choice),
                                   fmt::format("\"{}\"", key.tie.words.front())});
            changes.push_back({fmt::format("{}.{}", entry_of(key.table), key.name), value});
            CAPTURE(changes.back().key);
            CAPTURE(value);
            pictures += gives_picture(changes) ? 1 : 0;
        }
    }
    CHECK(pictures >= 100);  // of some 250: not all of them refused
}

TEST_CASE("an iris of any number of blades gives finite numbers") {
    for (int blades = 0; blades <= 5; ++blades) {
        CAPTURE(blades);
        CHECK(gives_picture({{"camera.lens.blades", fmt::format("{}", blades)}}));
    }
}

TEST_CASE("times that nearly meet leave no sliver of an exposure") {
    CHECK(gives_picture({{"subject.rock.present_s", "[0, 7.9999999999999]"}}));
    CHECK(gives_picture({{"subject.rock.present_s", "[[0, 4], [4.0000000000001, 8]]"}}));
    CHECK(gives_picture({{"lamp.amber.lit_s", "[0.1999999999999, 1]"}}));
    CHECK_FALSE(gives_picture({{"subject.rock.present_s", "[0, 1e-300]"}}));
    CHECK_FALSE(gives_picture({{"lamp.amber.lit_s", "[0, 1e-300]"}}));
    CHECK_FALSE(gives_picture({{"lamp.amber.pulse.on_s", "1e-300"}}));
}
