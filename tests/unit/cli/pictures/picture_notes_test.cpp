#include "cli/pictures/picture_notes.h"

#include <doctest/doctest.h>

#include <algorithm>

#include "tests/film.h"

using namespace lampflight;

namespace {

Shoot noted_shoot() {
    Shoot shoot = dark_shoot({960, 640});
    shoot.title = "Høle";
    shoot.camera.iso = 800.0;
    shoot.camera.f_number = 5.6;
    shoot.camera.shutter_s = 20.0;
    shoot.photograph.noise_seed = 7;
    stand(shoot, bare_lamp("warm", 10.0), {0.0, 0.0, 3.0});
    Take second = shoot.takes.front();
    second.name = "high";
    second.iso = 1600.0;
    second.lamp_stops["warm"] = -1.5;
    shoot.takes.push_back(second);
    shoot.photograph.takes = {"take", "high"};
    return shoot;
}

bool contains(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

}  // namespace

TEST_CASE("notes tell settings, takes, quality and seed") {
    const PictureNotes notes = picture_notes(noted_shoot(), {}, Noise::counted);
    CHECK(notes.title == "Høle");
    CHECK(notes.software.starts_with("Lampflight "));
    for (const char* part : {"36 x 24 mm", "14 mm", "white balance 5200 K",
                             "Lamp warm: ", "Take take: f/5.6, ISO 800, 20 s\n",
                             "Take high: f/5.6, ISO 1600, 20 s, warm -1.5 stops\n",
                             "Blend: lighten", "Quality: good", "noise seed 7"}) {
        CAPTURE(part);
        CHECK(contains(notes.settings, part));
    }
}

TEST_CASE("notes tell of the takes that were asked for alone") {
    ExposeOptions options;
    options.takes = {"high"};
    const PictureNotes notes = picture_notes(noted_shoot(), options, Noise::counted);
    CHECK(contains(notes.settings, "Take high"));
    CHECK_FALSE(contains(notes.settings, "Take take"));
}

TEST_CASE("notes tell when noise was left out, and of a tint") {
    Shoot shoot = noted_shoot();
    shoot.camera.white_balance_duv = -0.004;
    const PictureNotes notes = picture_notes(shoot, {}, Noise::left_out);
    CHECK(contains(notes.settings, "without noise"));
    CHECK_FALSE(contains(notes.settings, "seed"));
    CHECK(contains(notes.settings, "5200 K, Duv -0.004"));
}

TEST_CASE("notes tell of changes, but not where the shoot is") {
    Shoot shoot = noted_shoot();
    shoot.place = Place{};
    shoot.place->latitude_deg = 44.987;
    ExposeOptions options;
    options.scene.overrides = {{"camera.iso", "800"}, {"place.latitude_deg", "44.987"}};
    const PictureNotes notes = picture_notes(shoot, options, Noise::counted);
    CHECK(contains(notes.settings, "Changed: camera.iso = 800\n"));
    CHECK_FALSE(contains(notes.settings, "44.987"));
}

TEST_CASE("notes hold no control characters, whatever the words were") {
    Shoot shoot = noted_shoot();
    shoot.title = std::string("a\0b\x1b[31m\x7f\xc2\x9b\r\n", 14);
    ExposeOptions options;
    options.scene.overrides = {{"camera.iso", "\x1b]0;x\x07\n"}};
    const PictureNotes notes = picture_notes(shoot, options, Noise::counted);
    const auto is_control = [](char byte) {
        return (static_cast<unsigned char>(byte) < 0x20 && byte != '\n') || byte == 0x7f;
    };
    CHECK(std::ranges::none_of(notes.title, is_control));
    CHECK_FALSE(contains(notes.title, "\n"));
    CHECK_FALSE(contains(notes.title, "\xc2\x9b"));
    CHECK(std::ranges::none_of(notes.settings, is_control));
}
