// Alike cautions are told once, the worst with its own figures.
#include "scene/cautions/alike.h"

#include <algorithm>

#include "tests/unit/scene/cautions/calm_shoot.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

Finding near_pass(const std::string& flight, const std::string& take, CautionLevel level,
                  double apart_m) {
    return {"people", level, flight + " comes near.", {"near", "flight", flight, take, -apart_m}};
}

}  // namespace

TEST_CASE("the worst of alike findings is told, the others are counted") {
    const auto told = told_once({near_pass("a", "one", CautionLevel::danger, 3.0),
                                 near_pass("b", "one", CautionLevel::danger, 1.0),
                                 near_pass("c", "one", CautionLevel::danger, 2.0),
                                 near_pass("c", "two", CautionLevel::danger, 2.0)});
    REQUIRE(told.size() == 1);
    CHECK(told.front().text == "b comes near. (and 2 more flights alike: \"a\" and \"c\")");
    CHECK(told.front().about == "people");
}

TEST_CASE("the same flight in other takes is counted by takes") {
    const auto told = told_once({near_pass("a", "one", CautionLevel::danger, 1.0),
                                 near_pass("a", "two", CautionLevel::danger, 1.0)});
    REQUIRE(told.size() == 1);
    CHECK(told.front().text == "a comes near. (and 1 more take alike: \"two\")");
}

TEST_CASE("a graver level, another kind and a finding of no kind stand by themselves") {
    Finding over = near_pass("b", "one", CautionLevel::danger, 1.0);
    over.alike.kind = "over";
    const Finding plain{"people", CautionLevel::danger, "By itself."};
    const auto told =
        told_once({near_pass("a", "one", CautionLevel::care, 4.0),
                   near_pass("b", "one", CautionLevel::danger, 1.0), over, plain, plain});
    CHECK(told.size() == 5);
}

TEST_CASE("48 flights near a person are one danger with a count") {
    Shoot shoot = with_person_at({5.0, 0.0, 0.0});
    Flight halo = shoot.flights.front();
    halo.height_m = 5.0;
    shoot.flights.clear();
    shoot.takes.clear();
    for (int i = 0; i < 48; ++i) {
        halo.name = "halo " + std::to_string(i);
        halo.centre_m = {0.01 * i, 0.0};
        shoot.flights.push_back(halo);
        Take take;
        take.name = "take " + std::to_string(i);
        take.flights = {halo.name};
        shoot.takes.push_back(take);
    }
    shoot.subjects.erase(shoot.subjects.begin());
    const auto said = texts(in_boxes(shoot), "people");
    REQUIRE(said.size() == 2);  // passes near, passes over
    for (const std::string& text : said) {
        CAPTURE(text);
        CHECK(text.find("(and 47 more flights alike: \"halo ") != std::string::npos);
        CHECK(text.find(" and others)") != std::string::npos);
    }
}
