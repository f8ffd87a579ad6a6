#include "scene/flights/files/svg_path.h"

#include <cmath>
#include <random>
#include <string>

#include <fmt/format.h>

#include "scene/basics/angle.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

std::vector<SvgSubpath> subpaths_of(std::string_view d) {
    auto read = read_svg_path(d, 100'000);
    CAPTURE(d);
    if (const auto* fault = std::get_if<std::string>(&read)) CAPTURE(*fault);
    REQUIRE(std::holds_alternative<std::vector<SvgSubpath>>(read));
    return std::get<std::vector<SvgSubpath>>(read);
}

std::string path_fault(std::string_view d) {
    const auto read = read_svg_path(d, 1000);
    const auto* fault = std::get_if<std::string>(&read);
    return fault == nullptr ? "no fault" : *fault;
}

/// Corners of a path of lines.
void check_corners(std::string_view d, const std::vector<Vec2>& expected) {
    CAPTURE(d);
    const auto subpaths = subpaths_of(d);
    REQUIRE(subpaths.size() == 1);
    REQUIRE(subpaths[0].segments.size() + 1 == expected.size());
    CHECK_WITHIN(subpaths[0].start, expected[0], 1e-12);
    for (std::size_t i = 1; i < expected.size(); ++i)
        CHECK_WITHIN(std::get<SvgLine>(subpaths[0].segments[i - 1]).to, expected[i], 1e-12);
}

/// The definition of an arc by its end points, SVG 1.1, 8.3.8.
void check_arc(const SvgSegment& segment, const Vec2& from, const SvgArcShape& shape,
               const Vec2& to) {
    const auto& arc = std::get<SvgArc>(segment);
    CHECK_WITHIN(arc.point(arc.from_rad), from, 1e-9);
    CHECK_WITHIN(arc.point(arc.from_rad + arc.swept_rad), to, 1e-9);
    CHECK((arc.swept_rad > 0.0) == shape.sweep);
    CHECK((std::abs(arc.swept_rad) > pi) == shape.large);
    CHECK_WITHIN(glm::length(arc.across), shape.radii.x, 1e-9);
    CHECK_WITHIN(glm::length(arc.along), shape.radii.y, 1e-9);
    CHECK_WITHIN(std::atan2(arc.across.y, arc.across.x), radians(shape.turned_deg), 1e-12);
    CHECK_WITHIN(glm::dot(arc.across, arc.along), 0.0, 1e-9);
}

}  // namespace

// Figures triangle01, cubic01, quad01, arcs01 and arcs02 of SVG 1.1, chapter 8 (W3C), have the
// numbers of the next three cases.
TEST_CASE("paths of lines: the standard's triangle, however it is written") {
    const std::vector<Vec2> triangle{{100, 100}, {300, 100}, {200, 300}, {100, 100}};
    for (const char* d : {"M 100 100 L 300 100 L 200 300 z", "M100 100 300 100 200 300Z",
                          "m100,100 200,0-100 200z", "M100 100H300L200 300Z",
                          "M100 100h200l-100+200z", "\tM1e2\n1E+2 L.3e3,1000e-1\r200. 300 \f z "}) {
        check_corners(d, triangle);
        CHECK(subpaths_of(d)[0].closed);
    }
    // What a number does not take belongs to the next (8.3.9).
    check_corners("M0.6.5L1.5.5-3e2-.5", {{0.6, 0.5}, {1.5, 0.5}, {-300.0, -0.5}});
    check_corners("M1 2V5v-1H7h.5", {{1, 2}, {1, 5}, {1, 4}, {7, 4}, {7.5, 4}});
}

TEST_CASE("paths of cubics and quadratics: handles are mirrored where the curve goes on") {
    const auto cubics = subpaths_of("M100,200 C100,100 250,100 250,200 S400,300 400,200");
    REQUIRE(cubics.size() == 1);
    CHECK(!cubics[0].closed);
    const auto& second = std::get<SvgCubic>(cubics[0].segments.at(1));
    CHECK_WITHIN(second.first_handle, Vec2(250, 300), 1e-12);
    CHECK_WITHIN(second.second_handle, Vec2(400, 300), 1e-12);
    CHECK_WITHIN(second.to, Vec2(400, 200), 1e-12);

    const auto quadratics = subpaths_of("M200,300 Q400,50 600,300 T1000,300");
    const auto& next = std::get<SvgCubic>(quadratics[0].segments.at(1));
    // The handle is (800, 550): the figure marks it. As a cubic, two thirds of the way to it.
    CHECK_WITHIN(next.first_handle, glm::mix(Vec2(600, 300), Vec2(800, 550), 2.0 / 3.0), 1e-9);
    CHECK_WITHIN(next.second_handle, glm::mix(Vec2(1000, 300), Vec2(800, 550), 2.0 / 3.0), 1e-9);

    // After another kind of segment the handle is the point itself (8.3.6, 8.3.7).
    const auto mixed = subpaths_of("M0 0Q5 5 10 0S20 5 20 0T30 0");
    CHECK_WITHIN(std::get<SvgCubic>(mixed[0].segments[1]).first_handle, Vec2(10, 0), 1e-12);
    CHECK_WITHIN(std::get<SvgCubic>(mixed[0].segments[2]).first_handle, Vec2(20, 0), 1e-12);

    const auto relative = subpaths_of("m10 10c0-10 15-10 15 0s15 10 15 0");
    CHECK_WITHIN(std::get<SvgCubic>(relative[0].segments[1]).first_handle, Vec2(25, 20), 1e-12);
    CHECK_WITHIN(std::get<SvgCubic>(relative[0].segments[1]).to, Vec2(40, 10), 1e-12);
}

TEST_CASE("paths of arcs: from end points to centres") {
    const auto pie = subpaths_of("M300,200 h-150 a150,150 0 1,0 150,-150 z");
    const auto& round = std::get<SvgArc>(pie[0].segments.at(1));
    CHECK_WITHIN(round.centre, Vec2(300, 200), 1e-9);
    CHECK_WITHIN(round.swept_rad, -1.5 * pi, 1e-12);
    CHECK_WITHIN(
        std::get<SvgArc>(subpaths_of("M275,175 v-150 a150,150 0 0,0 -150,150 z")[0].segments.at(1))
            .centre,
        Vec2(275, 175), 1e-9);

    // Radii that do not reach are scaled up until they do: half an ellipse about the middle.
    const auto steps = subpaths_of(
        "M600,350 l 50,-25a25,25 -30 0,1 50,-25 l 50,-25a25,50 -30 0,1 50,-25 "
        "l 50,-25a25,75 -30 0,1 50,-25 l 50,-25a25,100 -30 0,1 50,-25 l 50,-25");
    REQUIRE(steps[0].segments.size() == 9);
    for (int i = 0; i < 4; ++i) {
        const auto& widened =
            std::get<SvgArc>(steps[0].segments[static_cast<std::size_t>(2 * i + 1)]);
        CHECK_WITHIN(widened.centre, Vec2(675.0 + 100.0 * i, 312.5 - 50.0 * i), 1e-9);
        CHECK_WITHIN(widened.swept_rad, pi, 1e-6);
        CHECK_RELATIVE(glm::length(widened.along), (i + 1) * glm::length(widened.across), 1e-12);
    }
    // Where both radii are the same, half the way between the ends.
    CHECK_WITHIN(glm::length(std::get<SvgArc>(steps[0].segments[1]).across),
                 0.5 * std::hypot(50.0, 25.0), 1e-9);

    for (const bool large : {false, true})
        for (const bool sweep : {false, true}) {
            const std::string d = fmt::format("M125,75a100,50 0 {:d}{:d}100,50", large, sweep);
            check_arc(subpaths_of(d)[0].segments[0], {125, 75}, {{100, 50}, 0.0, large, sweep},
                      {225, 125});
        }
}

TEST_CASE("arcs of paths keep to their definition, and to its limits") {
    std::mt19937 dice(5);
    std::uniform_real_distribution<double> coordinate(-50.0, 50.0);
    std::uniform_real_distribution<double> radius(60.0, 200.0);
    std::uniform_real_distribution<double> angle(-170.0, 170.0);
    for (int trial = 0; trial < 200; ++trial) {
        const Vec2 from(coordinate(dice), coordinate(dice));
        const Vec2 to(coordinate(dice), coordinate(dice));
        if (glm::distance(from, to) < 1.0) continue;
        const SvgArcShape shape{{radius(dice) + 30.0, radius(dice) + 30.0},
                                angle(dice),
                                trial % 2 == 0,
                                trial % 3 == 0};
        check_arc(svg_arc(from, shape, to), from, shape, to);
    }
    // SVG 2, B.2.5: no radius makes a line, the sign of a radius says nothing.
    CHECK(std::holds_alternative<SvgLine>(svg_arc({0, 0}, {{0, 5}, 0, true, true}, {9, 9})));
    CHECK(std::holds_alternative<SvgLine>(svg_arc({0, 0}, {{1e300, 5}, 0, true, true}, {9, 9})));
    check_arc(svg_arc({0, 0}, {{-9, -8}, 20, true, true}, {5, 0}), {0, 0}, {{9, 8}, 20, true, true},
              {5, 0});
    // Flags may stand together with what follows.
    const auto compact = subpaths_of("M0 0a9 8 20 115 0A9,8,20,0,0,10.5.5");
    check_arc(compact[0].segments[0], {0, 0}, {{9, 8}, 20, true, true}, {5, 0});
    CHECK_WITHIN(end_of(compact[0].segments[1]), Vec2(10.5, 0.5), 1e-12);
}

TEST_CASE("several subpaths of one path, and those that hold nothing") {
    const auto two = subpaths_of("M1 1h2v2zm10 10h2z");
    REQUIRE(two.size() == 2);
    CHECK_WITHIN(two[1].start, Vec2(11, 11), 1e-12);  // from where the first one began
    const auto on = subpaths_of("M1 1h2v2zl0 5");
    REQUIRE(on.size() == 2);
    CHECK_WITHIN(on[1].start, Vec2(1, 1), 1e-12);
    CHECK(!on[1].closed);
    CHECK_WITHIN(end_of(on[1].segments[0]), Vec2(1, 6), 1e-12);
    for (const char* empty : {"", "  ", "none", "M1 1", "M1 1z", "M1 1M2 2zzM3 3"})
        CHECK(subpaths_of(empty).empty());
}

TEST_CASE("faults of path data name the place and what is allowed") {
    CHECK(path_fault("L 1 1") ==
          "character 1 is \"L\"; allowed there is M or m, with which a path "
          "begins");
    CHECK(path_fault("M 1 1 L 2 x") == "character 11 is \"x\"; allowed there is a number");
    CHECK(path_fault("M 1 1 L 2") == "text ends where a number should follow");
    CHECK(path_fault("M 1 1 L 2 2,") == "text ends where a number should follow");
    CHECK(path_fault("M 1 1,L 2 2") == "character 7 is \"L\"; allowed there is a number");
    CHECK(path_fault("M 1,,1") == "character 5 is \",\"; allowed there is a number");
    CHECK(path_fault("M,1 1") == "character 2 is \",\"; allowed there is a number");
    CHECK(path_fault("M 1 1 B 3") ==
          "character 7 is \"B\"; allowed there is a number or a command "
          "out of M L H V C S Q T A Z");
    CHECK(path_fault("M 1 1 a 5 5 0 2 0 1 1") ==
          "character 15 is \"2\"; allowed there is 0 or 1, a flag of an arc");
    CHECK(path_fault("M 1 1 L 1e 2") == "character 10 is \"e\"; allowed there is a number");
    CHECK(path_fault("M 1 1 L nan inf") == "character 9 is \"n\"; allowed there is a number");
    CHECK(path_fault("M 1 1 L 1e999 2") ==
          "number at character 9 is 1e999, out of what can be held");
    CHECK(path_fault("M 1 1 L \xc3\xa9") ==
          "character 9 is \"\xc3\xa9\"; allowed there is a number");
    CHECK(path_fault("M 1 1 L . 2") == "character 9 is \".\"; allowed there is a number");
    CHECK(path_fault("M0 0Z1 1") ==
          "character 6 is \"1\"; allowed there is a command out of "
          "M L H V C S Q T A Z");
    std::string many = "M0 0";
    for (int i = 0; i < 1001; ++i) many += " 1 1";
    CHECK(path_fault(many) == "segments exceed the 1000 that are allowed in a drawing");
}
