// What a changed shoot makes of light that is on film, and what needs a render.
#include "scene/planning/retune.h"

#include <doctest/doctest.h>

#include <cmath>

#include "scene/basics/colour.h"
#include "scene/keys/key_table.h"
#include "scene/reader/read_shoot.h"
#include "tests/full_scene.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

constexpr const char* scene = R"(
sky = { horizontal_lx = 0.1 }
camera = { focal_mm = 14, f_number = 8, iso = 400, shutter_s = 10, focus_m = 10 }
lamp = [{ name = "warm", flux_lm = 1000 }, { name = "still", position_m = [0, 2, 3] },
        { name = "red", temperature_k = 1700, position_m = [0, 3, 3] }]
flight = [{ name = "halo", lap_s = 10, carries = ["warm"] }]
take = [{ name = "flown", flights = ["halo"] }, { name = "still" }]
)";

Shoot shoot_with(const std::vector<Override>& changes) {
    const Checked<Shoot> read = read_shoot(scene, "scene.toml", changes);
    if (const auto* problems = std::get_if<std::vector<Problem>>(&read)) {
        for (const Problem& problem : *problems) FAIL_CHECK(to_string(problem));
        return {};
    }
    return std::get<Shoot>(read);
}

Rgb gain_of(const std::vector<Override>& changes, const std::string& take,
            const std::string& layer) {
    const Shoot before = shoot_with({}), after = shoot_with(changes);
    const auto gain = Retuning(before, after).gain(take, *layer_id_of(layer));
    REQUIRE(gain.has_value());
    return *gain;
}

std::string trouble(const std::vector<Override>& changes, const std::string& take) {
    const Shoot before = shoot_with({}), after = shoot_with(changes);
    return Retuning(before, after).trouble_with_take(take).value_or("");
}

}  // namespace

TEST_CASE("nothing changed is a gain of exactly one") {
    for (const char* layer : {"warm.surface", "warm.trail", "still.surface", "sky.view"})
        CHECK(gain_of({}, "flown", layer) == Rgb(1.0));
    CHECK(gain_of({{"camera.iso", "6400"}}, "flown", "warm.trail") == Rgb(1.0));
}

TEST_CASE("the aperture and the glass act on all light, as 1 / N^2 and as they pass it") {
    for (const char* layer : {"warm.trail", "still.surface", "sky.view", "stars"}) {
        CHECK(gain_of({{"camera.f_number", "4"}}, "flown", layer) == Rgb(4.0));
        CHECK_RELATIVE(gain_of({{"camera.lens.transmission", "0.45"}}, "flown", layer).g, 0.5,
                       1e-12);
    }
    CHECK(gain_of({{"take.flown.f_number", "16"}}, "flown", "sky.view") == Rgb(0.25));
    CHECK(gain_of({{"take.flown.f_number", "16"}}, "still", "sky.view") == Rgb(1.0));
}

TEST_CASE("a lamp's own keys act on its layers alone") {
    CHECK(gain_of({{"lamp.warm.flux_lm", "4000"}}, "flown", "warm.trail") == Rgb(4.0));
    CHECK(gain_of({{"lamp.warm.flux_lm", "3000"}}, "flown", "still.surface") == Rgb(1.0));
    CHECK(gain_of({{"lamp.warm.gel.transmission", "0.5"}}, "flown", "warm.surface") == Rgb(0.5));
    CHECK(gain_of({{"take.flown.lamp_stops", "{ warm = 2 }"}}, "flown", "warm.surface") ==
          Rgb(4.0));
    const Rgb gel = gain_of({{"lamp.warm.gel.shift_mired", "109"}}, "flown", "warm.surface");
    Lamp plain, gelled;
    gelled.gel.shift_mired = 109.0;
    for (int c = 0; c < 3; ++c)
        CHECK_RELATIVE(gel[c], lamp_colour(gelled)[c] / lamp_colour(plain)[c], 1e-12);
    CHECK(gel.r > 1.0);
    CHECK(gel.b < 1.0);
}

TEST_CASE("a sky whose light is stated can be made stronger, one of a place can't") {
    CHECK(gain_of({{"sky.horizontal_lx", "0.05"}}, "flown", "sky.view") == Rgb(0.5));
    CHECK(gain_of({{"sky.horizontal_lx", "0.05"}}, "flown", "warm.surface") == Rgb(1.0));
    Shoot dark = shoot_with({{"sky.horizontal_lx", "0"}});
    const Shoot lit = shoot_with({});
    CHECK(Retuning(dark, lit).trouble_with_take("flown") ==
          "the sky was black; there is no light of it to take up");
    dark.place.emplace();
    CHECK_FALSE(Retuning(dark, lit).trouble_with_take("flown").has_value());
}

TEST_CASE("a lamp that a take no longer lights gives nothing, one that was dark can't be lit") {
    const Shoot before = shoot_with({}), after = shoot_with({{"take.still.lamps", "[\"still\"]"}});
    CHECK(Retuning(before, after).gain("still", *layer_id_of("still.surface")).has_value());
    CHECK_FALSE(Retuning(before, after).gain("still", *layer_id_of("red.surface")).has_value());
    CHECK(Retuning(after, before).trouble_with_take("still")->find("\"red\" was dark") == 0);
}

TEST_CASE("light without blue can't be given any") {
    CHECK(trouble({{"lamp.red.temperature_k", "5000"}}, "still") ==
          "\"red\" had no blue light that could be made more");
    CHECK(trouble({{"lamp.red.flux_lm", "50"}}, "still").empty());
}

TEST_CASE("the shutter is honest only where all light is steady") {
    CHECK(trouble({{"camera.shutter_s", "5"}}, "still").empty());
    CHECK(gain_of({{"camera.shutter_s", "5"}}, "still", "still.trail") == Rgb(0.5));
    CHECK(gain_of({{"camera.shutter_s", "5"}}, "still", "sky.surface") == Rgb(0.5));
    CHECK(trouble({{"camera.shutter_s", "5"}}, "flown").find("the trail of \"warm\"") !=
          std::string::npos);
    CHECK(trouble({{"take.still.shutter_s", "5"}}, "flown").empty());
    Shoot before = shoot_with({});
    before.lamps[1].lit_s = TimeWindows{{0.0, 3.0}};
    Shoot after = before;
    after.camera.shutter_s = 5.0;
    CHECK(Retuning(before, after).trouble_with_take("still")->find("does not burn all the time") !=
          std::string::npos);
}

TEST_CASE("keys that move light are refused with their reason, all others are followed") {
    for (const char* key :
         {"title", "camera.iso", "camera.f_number", "camera.shutter_s", "camera.white_balance_k",
          "camera.white_balance_duv", "camera.sensor.read_noise_e", "camera.sensor",
          "camera.lens.glare_share", "lamp.warm.flux_lm", "lamp.warm.gel",
          "lamp.warm.gel.shift_mired", "take.flown.lamp_stops.warm", "take.flown.iso",
          "photograph.blend", "photograph.takes", "photograph.noise_seed", "camera.is", "lamps",
          "lamp.warm.dominant_nm", "camera.dark_frame", "drone.first.endurance_min",
          "drone.first.beacon.flux_lm", "drone.beacon.flux_lm", "place.ceiling_m", "flight.halo.gap_m"}) {
        CAPTURE(key);
        const bool known = std::string(key) != "camera.is" && std::string(key) != "lamps";
        if (known) CHECK_FALSE(trouble_with_retuning({key, "1"}).has_value());
    }
    for (const char* key :
         {"camera.focal_mm", "camera.position_m", "camera.focus_m", "camera.pixels",
          "camera.lens.distortion", "camera.lens", "flight.halo.radius_m", "lamp.warm.aim",
          "lamp.warm.face_mm", "subject.walker.position_m", "ground.reflectance",
          "sky.temperature_k", "sky.glow_bearing_deg", "sky.cloud_share", "place.when",
          "take.flown.flights", "point.face.position_m", "flight.halo.wander_m", "air.gust_m_s",
          "drone.first.beacon.per_minute", "drone.first.mass_kg"}) {
        CAPTURE(key);
        const auto said = trouble_with_retuning({key, "1"});
        REQUIRE(said.has_value());
        CHECK(said->find(std::string(key) + " can't be retuned: ") == 0);
    }
}

TEST_CASE("every table of a scene has rules of its own") {
    for (const TableKind& kind : table_kinds()) {
        CAPTURE(std::string(kind.name));
        const std::string key =
            std::string(kind.name) + (kind.is_list() ? ".name.no_such_key" : ".no_such_key");
        CHECK(trouble_with_retuning({key, "1"}).has_value() == (kind.name != "photograph"));
    }
}

TEST_CASE("blur circle and Airy disc in pixels") {
    Camera camera;
    camera.focal_mm = 50.0;
    camera.focus_m = 10.0;
    camera.pixels = {3600, 2400};  // 0.01 mm
    // c = f^2 / (N (s - f)) at infinity: 2500 / (2.8 x 9950) = 0.0897 mm; at half the distance of
    // focus |D - s| / D = 1 as well.
    CHECK_WITHIN(sharpness_at(camera, 2.8, std::numeric_limits<double>::infinity()).blur_px, 8.974,
                 0.001);
    CHECK_WITHIN(sharpness_at(camera, 2.8, 5.0).blur_px, 8.974, 0.001);
    CHECK_WITHIN(sharpness_at(camera, 2.8, 10.0).blur_px, 0.0, 1e-12);
    // 2.44 x 0.55 um x 16 = 21.5 um.
    CHECK_WITHIN(sharpness_at(camera, 16.0, 10.0).airy_px, 2.147, 0.001);
}

TEST_CASE("a change of sharpness is told where it is largest, and only if it can be seen") {
    Shoot shoot = shoot_with({});
    shoot.camera.pixels = {6000, 4000};
    shoot.camera.position_m = {0.0, -10.0, 1.4};
    shoot.camera.look_at_m = Vec3(0.0, 0.0, 1.0);
    const Take& take = shoot.takes.front();
    CHECK_FALSE(visible_change(shoot, take, 8.0, 9.0).has_value());
    const auto change = visible_change(shoot, take, 8.0, 2.0);
    REQUIRE(change.has_value());
    CHECK(change->depth_m < 3.0);  // the ground at the lower edge
    CHECK(change->after.blur_px > 3.9 * change->before.blur_px);
    CHECK(change->after.airy_px < change->before.airy_px);
    shoot.camera.pixels = {300, 200};
    CHECK_FALSE(visible_change(shoot, take, 8.0, 2.0).has_value());
}

namespace {

constexpr const char* with_own_lights = R"(
camera = { shutter_s = 10 }
lamp = [{ name = "red", dominant_nm = 625, purity = 0.5 }]
drone = [{ name = "scout", own_lights = "showing", beacon = { per_minute = 60 } }]
flight = [{ name = "halo", lap_s = 10, carries = ["red"] }]
take = [{ name = "one", flights = ["halo"] }]
)";

Shoot own_lights_with(const std::vector<Override>& changes) {
    const Checked<Shoot> read = read_shoot(with_own_lights, "scene.toml", changes);
    REQUIRE(std::holds_alternative<Shoot>(read));
    return std::get<Shoot>(read);
}

std::optional<Rgb> own_light_gain(const std::vector<Override>& changes, const std::string& layer) {
    const Shoot before = own_lights_with({}), after = own_lights_with(changes);
    return Retuning(before, after).gain("one", *layer_id_of(layer));
}

}  // namespace

TEST_CASE("own lights are dimmed, coloured and covered from their layers") {
    const auto dimmed =
        own_light_gain({{"drone.scout.lights.flux_lm", "2.5"}}, "scout left light.trail");
    REQUIRE(dimmed);
    CHECK_RELATIVE(dimmed->r, 0.5, 1e-12);
    const auto beacon =
        own_light_gain({{"drone.scout.beacon.flux_lm", "1000"}}, "scout beacon.trail");
    REQUIRE(beacon);
    CHECK_RELATIVE(beacon->g, 2.0, 1e-12);
    CHECK_FALSE(own_light_gain({{"drone.scout.own_lights", "covered"}}, "scout left light.trail")
                    .has_value());
    CHECK_FALSE(own_light_gain({{"drone.scout.lights.left", "none"}}, "scout left light.trail")
                    .has_value());
    for (const char* key : {"drone.scout.own_lights", "drone.scout.lights.left",
                            "drone.scout.beacon.colour", "lamp.red.dominant_nm", "lamp.red.purity"})
        CHECK_FALSE(trouble_with_retuning({key, "1"}).has_value());
    for (const char* key : {"drone.scout.lights.arm_m", "drone.scout.beacon.per_minute",
                            "drone.scout.beacon.on_s", "drone.scout.mass_kg"})
        CHECK(trouble_with_retuning({key, "1"}).has_value());
}

TEST_CASE("a coloured lamp takes another hue of the colours that it has") {
    const Shoot before = own_lights_with({});
    const Shoot after = own_lights_with({{"lamp.red.purity", "0.25"}});
    const Rgb gain = *Retuning(before, after).gain("one", *layer_id_of("red.trail"));
    const Rgb expected = lamp_colour(after.lamps.front()) / lamp_colour(before.lamps.front());
    CHECK_WITHIN(gain, expected, 1e-12);
    CHECK(gain.b > 1.0);
}
