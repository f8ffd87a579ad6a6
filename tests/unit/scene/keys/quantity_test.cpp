// Numbers as people write them, told in the unit of a key.
#include <doctest/doctest.h>

#include "scene/keys/quantity.h"

using namespace lampflight;

namespace {

/// What to write instead of a text under a key of a unit; empty for what is no number.
std::string number_for(std::string_view text, std::string_view unit) {
    const auto slip = number_slip(text, unit);
    return slip ? slip->write : "";
}

std::string oddity_of(std::string_view text, std::string_view unit) {
    const auto slip = number_slip(text, unit);
    return slip ? slip->what : "";
}

}  // namespace

TEST_CASE("Numbers with commas, spaces and signs of other kinds are understood") {
    CHECK(number_for("7,1", "") == "7.1");
    CHECK(number_for("-0,5", "m") == "-0.5");
    CHECK(number_for("1 200", "lm") == "1200");
    CHECK(number_for("1.200,5", "lm") == "1200.5");
    CHECK(number_for("1,200.5", "lm") == "1200.5");
    CHECK(number_for("1,200,000", "lm") == "1200000");
    CHECK(number_for(".5", "s") == "0.5");
    CHECK(number_for("5.", "s") == "5");
    CHECK(number_for("0400", "") == "400");
    CHECK(number_for("\u22125", "deg") == "-5");
    CHECK(number_for("1e3", "lm") == "1000");
}

TEST_CASE("A comma before three digits may part thousands, and both numbers are told") {
    CHECK(number_for("1,200", "lm") == "1.2, or 1200 if the comma parts thousands");
    CHECK(number_for("0,200", "lm") == "0.2");
    CHECK(number_for("1,20", "lm") == "1.2");
}

TEST_CASE("Units are changed into the key's, and rounded as one would write them") {
    CHECK(number_for("20mm", "mm") == "20");
    CHECK(number_for("4 cm", "mm") == "40");
    CHECK(number_for("26 ft", "m") == "7.92");
    CHECK(number_for("26'", "m") == "7.92");
    CHECK(number_for("26' 6\"", "m") == "8.08");
    CHECK(number_for("26 ft 6 in", "m") == "8.08");
    CHECK(number_for("20 min", "s") == "1200");
    CHECK(number_for("1 min 30 s", "s") == "90");
    CHECK(number_for("1:30", "s") == "90");
    CHECK(number_for("500 ms", "s") == "0.5");
    CHECK(number_for("36 km/h", "m/s") == "10");
    CHECK(number_for("10 knots", "m/s") == "5.14");
    CHECK(number_for("5600K", "K") == "5600");
    CHECK(number_for("35 %", "") == "0.35");
    CHECK(number_for("800 m", "km") == "0.8");
}

TEST_CASE("Fractions and angles become decimals") {
    CHECK(number_for("1/60", "s") == "0.016667");
    CHECK(number_for("1/60 s", "s") == "0.016667");
    CHECK(number_for("1/4", "s") == "0.25");
    CHECK(number_for("47°35'", "deg") == "47.5833");
    CHECK(number_for("47° 35′ 12″ N", "deg") == "47.58667");
    CHECK(number_for("6°12.5' W", "deg") == "-6.2083");
    CHECK(number_for("6.2 W", "deg") == "-6.2");
    CHECK(number_for("45°", "deg") == "45");
}

TEST_CASE("What stands before and behind numbers of photographers is dropped") {
    CHECK(number_for("f/8", "") == "8");
    CHECK(number_for("f/7,1", "") == "7.1");
    CHECK(number_for("ISO 400", "") == "400");
    CHECK(number_for("400", "") == "400");
    CHECK(oddity_of("400", "") == "stands in quotes");
}

TEST_CASE("A unit of another kind leaves the number open, and what is no number is left alone") {
    CHECK(number_for("20s", "mm") == "the number alone, in mm");
    CHECK(number_for("20 furlongs", "m") == "the number alone, in m");
    CHECK(number_for("20 hours", "") == "the number alone");
    CHECK_FALSE(number_slip("47°35'12\"13", "deg"));
    for (const char* text :
         {"", "-", "high", "1,2,3", "26 ft 6 s", "1/0", "f/", "1e999", "°", "...", "1/60/2", ","})
        CHECK_MESSAGE(!number_slip(text, "m"), text);
}

TEST_CASE("A number under a word with another unit is told in the key's unit") {
    CHECK(converted(26.0, "ft", "m") == "7.92");
    CHECK(converted(0.5, "min", "s") == "30");
    CHECK(converted(18.0, "km_h", "m/s") == "5");
    CHECK_FALSE(converted(1.0, "ft", "s"));
    CHECK_FALSE(converted(1.0, "", ""));
}
