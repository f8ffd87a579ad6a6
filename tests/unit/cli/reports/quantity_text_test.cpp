#include <doctest/doctest.h>

#include <limits>

#include "cli/reports/quantity_text.h"

using namespace lampflight;

TEST_CASE("shutters read as a dial has them") {
    CHECK(shutter_text(1.0 / 310.0) == "1/310 s");
    CHECK(shutter_text(1.0 / 60.0) == "1/60 s");
    CHECK(shutter_text(0.5) == "0.5 s");
    CHECK(shutter_text(4.0) == "4 s");
    CHECK(shutter_text(12.5) == "12.5 s");
    CHECK(shutter_text(90.0) == "90 s");
    CHECK(shutter_text(400.0) == "6 min 40 s");
    CHECK(shutter_text(1200.0) == "20 min");
    CHECK(shutter_text(9000.0) == "2.5 h");
    CHECK(shutter_text(1e-9) == "under 1/1000000 s");
    CHECK(shutter_text(std::numeric_limits<double>::infinity()) == "-");
}

TEST_CASE("a wished shutter is told to about a tenth") {
    CHECK(about_shutter_text(1.0 / 306.0) == "1/310 s");
    CHECK(about_shutter_text(1.0 / 62.2) == "1/62 s");
    CHECK(about_shutter_text(0.436) == "0.44 s");
    CHECK(about_shutter_text(22.6) == "23 s");
    CHECK(about_shutter_text(102.0) == "102 s");
    CHECK(about_shutter_text(209.0) == "3 min 30 s");
    CHECK(about_shutter_text(599.0) == "10 min");
    CHECK(about_shutter_text(826.0) == "14 min");
}

TEST_CASE("noise is rated by its ratio, as ISO 12232 does") {
    CHECK(noise_text(85.2) == "clean (85)");
    CHECK(noise_text(40.0) == "clean (40)");
    CHECK(noise_text(22.0) == "visible (22)");
    CHECK(noise_text(10.0) == "visible (10)");
    CHECK(noise_text(6.07) == "rough (6.1)");
    CHECK(noise_text(0.0) == "rough (0.0)");
}

TEST_CASE("layers are told in words, those of lamps by their names") {
    CHECK(layer_words(lamp_layer("warm", LightWay::surface)) == "warm on surfaces");
    CHECK(layer_words(lamp_layer("warm", LightWay::trail)) == "warm trail");
    CHECK(layer_words({LightSource::sky, LightWay::view}) == "the sky itself");
    CHECK(layer_words({LightSource::sun, LightWay::surface}) == "sun on surfaces");
    CHECK(layer_words({LightSource::moon, LightWay::view}) == "the moon itself");
    CHECK(layer_words({LightSource::stars, LightWay::view}) == "stars");
}

TEST_CASE("numbers: shares, stops, and none that is minus nothing") {
    CHECK(decimal_text(-0.04, 1) == "0.0");
    CHECK(percent_text(0.123) == "12 %");
    CHECK(percent_text(0.0042) == "0.4 %");
    CHECK(percent_text(0.0001) == "less than 0.1 %");
    CHECK(stops_text(1.26) == "+1.3");
    CHECK(stops_text(-0.01) == "0.0");
    CHECK(stops_text(-std::numeric_limits<double>::infinity()) == "none");
    CHECK(settings_text({25.0, 7.1, 640.0}) == "25 s at f/7.1, ISO 640");
}
