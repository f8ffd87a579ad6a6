#include "scene/flights/files/svg_transform.h"

#include <cmath>
#include <string>

#include "scene/basics/angle.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

Vec2 sent(std::string_view list, const Vec2& point) {
    const auto read = read_svg_transform(list);
    CAPTURE(list);
    REQUIRE(std::holds_alternative<SvgTransform>(read));
    return std::get<SvgTransform>(read).point(point);
}

std::string transform_fault(std::string_view list) {
    const auto read = read_svg_transform(list);
    const auto* fault = std::get_if<std::string>(&read);
    return fault == nullptr ? "no fault" : *fault;
}

}  // namespace

// By hand from the matrices of SVG 1.1, 7.6.
TEST_CASE("each transform of SVG does what its matrix says") {
    const Vec2 point(3.0, 4.0);
    CHECK_WITHIN(sent("", point), point, 0.0);
    CHECK_WITHIN(sent("matrix(1 2 3 4 5 6)", point), Vec2(20.0, 28.0), 1e-12);
    CHECK_WITHIN(sent("translate(10)", point), Vec2(13.0, 4.0), 1e-12);
    CHECK_WITHIN(sent("translate(10,-20)", point), Vec2(13.0, -16.0), 1e-12);
    CHECK_WITHIN(sent("scale(2)", point), Vec2(6.0, 8.0), 1e-12);
    CHECK_WITHIN(sent("scale(2 -1)", point), Vec2(6.0, -4.0), 1e-12);
    CHECK_WITHIN(sent("rotate(90)", point), Vec2(-4.0, 3.0), 1e-12);
    CHECK_WITHIN(sent("rotate(90 3 5)", point), Vec2(4.0, 5.0), 1e-12);
    CHECK_WITHIN(sent("skewX(45)", point), Vec2(7.0, 4.0), 1e-12);
    CHECK_WITHIN(sent("skewY(45)", point), Vec2(3.0, 7.0), 1e-12);
}

TEST_CASE("a list of transforms applies its last one first") {
    // The standard's own example (SVG 1.1, 7.5): the point (0, 0) of the innermost system.
    CHECK_WITHIN(sent("translate(50,90) rotate(-45) translate(130,160)", {0.0, 0.0}),
                 Vec2(50.0 + 290.0 * std::sqrt(0.5), 90.0 + 30.0 * std::sqrt(0.5)), 1e-9);
    const Vec2 point(3.0, 4.0);
    CHECK_WITHIN(sent(" translate ( 10 , 20 )scale(2),\n rotate(90)\t", point), Vec2(2.0, 26.0),
                 1e-12);
    CHECK_WITHIN(sent("scale(2)translate(1-1)", point), Vec2(8.0, 6.0), 1e-12);
}

TEST_CASE("faults of transforms name the place and what is allowed") {
    CHECK(transform_fault("turn(5)") ==
          "character 1 is \"t\"; allowed there is matrix, translate, "
          "scale, rotate, skewX or skewY");
    CHECK(transform_fault("scale(1),") ==
          "text ends where matrix, translate, scale, rotate, skewX "
          "or skewY should follow");
    CHECK(transform_fault("rotate(5 6)") ==
          "rotate at character 1 has 2 numbers; allowed is 1 or 3");
    CHECK(transform_fault("scale(1) matrix(1 2 3 4 5)") ==
          "matrix at character 10 has 5 numbers; allowed is 6");
    CHECK(transform_fault("matrix(1 2 3 4 5 6 7 8 9)") ==
          "matrix at character 1 has too many numbers; allowed is 6");
    CHECK(transform_fault("rotate(45deg)") ==
          "character 10 is \"d\"; allowed there is a number in brackets");
    CHECK(transform_fault("scale 2") ==
          "character 7 is \"2\"; allowed there is a number in brackets");
    CHECK(transform_fault("scale()") ==
          "character 7 is \")\"; allowed there is a number in brackets");
    CHECK(transform_fault("scale(2") == "text ends where a number in brackets should follow");
}
