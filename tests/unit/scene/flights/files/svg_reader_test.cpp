#include "scene/flights/files/svg_reader.h"

#include <algorithm>
#include <chrono>
#include <fstream>
#include <sstream>
#include <string>

#include <fmt/format.h>

#include "scene/basics/angle.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

std::string in_svg(const std::string& elements) {
    return fmt::format("<svg xmlns=\"http://www.w3.org/2000/svg\">\n{}\n</svg>\n", elements);
}

SvgDrawing drawing_of(const std::string& elements) {
    const auto read = read_svg(in_svg(elements));
    CAPTURE(elements);
    if (const auto* fault = std::get_if<std::string>(&read)) FAIL(*fault);
    return std::get<SvgDrawing>(read);
}

std::string svg_fault_of_file(std::string_view bytes) {
    const auto read = read_svg(bytes);
    const auto* fault = std::get_if<std::string>(&read);
    return fault == nullptr ? "no fault" : *fault;
}
std::string svg_fault(const std::string& elements) {
    return svg_fault_of_file(in_svg(elements));
}

void check_points(const SvgStroke& stroke, const std::vector<Vec2>& expected) {
    REQUIRE(stroke.points.size() == expected.size());
    REQUIRE(stroke.corner.size() == expected.size());
    for (std::size_t i = 0; i < expected.size(); ++i)
        CHECK_WITHIN(stroke.points[i], expected[i], 1e-9);
}

const std::string line = "<path d='M0 0H10'/>";

/// Bounded time, also under the sanitizers.
class StopWatch {
public:
    ~StopWatch() {
        const std::chrono::duration<double> passed = std::chrono::steady_clock::now() - began_;
        CHECK(passed.count() < 20.0);
    }

private:
    std::chrono::steady_clock::time_point began_ = std::chrono::steady_clock::now();
};

}  // namespace

TEST_CASE("basic shapes become the outlines that the standard says they are") {
    const SvgDrawing drawing = drawing_of(
        "<line x1='1' y1='2' x2='3' y2='5'/>"
        "<polyline points=' 0,0 10,0,10 5-3-4 '/>"
        "<polygon points='0 0 10 0 10 10'/>"
        "<rect x='5' y='6' width='20' height='10'/>");
    REQUIRE(drawing.strokes.size() == 4);
    check_points(drawing.strokes[0], {{1, 2}, {3, 5}});
    check_points(drawing.strokes[1], {{0, 0}, {10, 0}, {10, 5}, {-3, -4}});
    CHECK(!drawing.strokes[1].closed);
    check_points(drawing.strokes[2], {{0, 0}, {10, 0}, {10, 10}});
    CHECK(drawing.strokes[2].closed);
    check_points(drawing.strokes[3], {{5, 6}, {25, 6}, {25, 16}, {5, 16}});
    CHECK(drawing.strokes[3].closed);
    CHECK_WITHIN(figure_box(drawing).low, Vec2(-3.0, -4.0), 1e-12);
    CHECK_WITHIN(figure_box(drawing).size().x, 28.0, 1e-12);
}

TEST_CASE("round shapes keep to their circle or ellipse") {
    const SvgDrawing drawing = drawing_of(
        "<circle cx='10' cy='20' r='5'/><ellipse cx='1' cy='2' rx='3' ry='4'/>"
        "<ellipse rx='7'/>"
        "<rect x='-10' y='-20' width='40' height='30' rx='6' ry='4'/>"
        "<rect width='10' height='6' rx='50'/>");
    REQUIRE(drawing.strokes.size() == 5);
    for (const Vec2& point : drawing.strokes[0].points)
        CHECK_WITHIN(glm::distance(point, Vec2(10, 20)), 5.0, 1e-9);
    for (const Vec2& point : drawing.strokes[1].points)
        CHECK_WITHIN(glm::length((point - Vec2(1, 2)) / Vec2(3, 4)), 1.0, 1e-9);
    for (const Vec2& point : drawing.strokes[2].points) CHECK_WITHIN(glm::length(point), 7.0, 1e-9);
    // Where the standard begins them: SVG 2, 10.3 and 10.2.
    CHECK_WITHIN(drawing.strokes[0].points[0], Vec2(15, 20), 1e-12);
    CHECK_WITHIN(drawing.strokes[3].points[0], Vec2(-4, -20), 1e-12);
    for (const SvgStroke& stroke : drawing.strokes) {
        CHECK(stroke.closed);
        CHECK(std::find(stroke.corner.begin(), stroke.corner.end(), true) == stroke.corner.end());
    }
    // Within the rounded corner it is an ellipse about the corner's own centre.
    for (const Vec2& point : drawing.strokes[3].points)
        if (point.x > 24.0 && point.y > 6.0)
            CHECK_WITHIN(glm::length((point - Vec2(24, 6)) / Vec2(6, 4)), 1.0, 1e-9);
    // A radius that is too large is half the side's: here a round end, 5 wide and 3 high.
    for (const Vec2& point : drawing.strokes[4].points)
        CHECK_WITHIN(glm::length((point - Vec2(5, 3)) / Vec2(5, 3)), 1.0, 1e-9);
}

TEST_CASE("lengths may have units, and sizes of 0 draw nothing") {
    const SvgDrawing drawing = drawing_of(
        "<line x2='1in' y2='2.54cm'/><line x2='72pt' y2='6pc'/>"
        "<line x2=' 25.4mm ' y2='101.6Q'/><line x2='96PX'/>"
        "<rect width='0' height='5'/><circle/>"
        "<ellipse rx='auto' ry='0'/>");
    REQUIRE(drawing.strokes.size() == 4);
    for (std::size_t i = 0; i < 3; ++i) check_points(drawing.strokes[i], {{0, 0}, {96, 96}});
    check_points(drawing.strokes[3], {{0, 0}, {96, 0}});
    CHECK(svg_fault("<circle r='10%'/>") ==
          "its <circle> on line 2 has a r of \"10%\"; allowed is a number, alone or in px, in, cm, "
          "mm, Q, pt or pc");
    CHECK(svg_fault("<rect width='-5' height='5'/>") ==
          "its <rect> on line 2 has a width of -5; allowed is 0 and more");
}

TEST_CASE("transforms of an element and all groups around it") {
    const SvgDrawing drawing = drawing_of(
        "<g transform='translate(100 0)'><g transform='scale(2)'>"
        "<path transform='rotate(90)' d='M0 0L10 5'/></g>"
        "<svg x='5' y='6' transform='scale(3)'><line x2='1' y2='1'/></svg></g>"
        "<line x2='1' y2='1'/>");
    REQUIRE(drawing.strokes.size() == 3);
    check_points(drawing.strokes[0], {{100, 0}, {90, 20}});
    check_points(drawing.strokes[1], {{115, 18}, {118, 21}});
    check_points(drawing.strokes[2], {{0, 0}, {1, 1}});
    // A circle scaled unevenly is an ellipse, to rounding.
    const SvgDrawing round = drawing_of("<circle transform='skewX(45) scale(4 2)' r='1'/>");
    for (const Vec2& point : round.strokes[0].points)
        CHECK_WITHIN(glm::length(Vec2(point.x - point.y, point.y) / Vec2(4, 2)), 1.0, 1e-9);
}

TEST_CASE("what is not displayed, or belongs to others, is left out") {
    const std::string square = "<rect width='9' height='9'/>";
    std::string elements = fmt::format(
        "<!-- note --><title>t</title><desc/><style>path{{}}</style>"
        "<x:path xmlns:x='urn:x' d='wrong'/><g display='none'>{0}</g>"
        "<g style='fill: red; display : none'>{0}</g><path display='none' d='wrong'/>",
        square);
    for (const char* element : {"defs", "clipPath", "mask", "symbol", "pattern", "marker",
                                "metadata", "linearGradient", "filter"})
        elements += fmt::format("<{0}>{1}<use/><text/></{0}>", element, square);
    elements += fmt::format("{0}<a><g class='c' style='stroke:red'>{0}</g></a>", line);
    CHECK(drawing_of(elements).strokes.size() == 2);
    // The first that can be shown.
    CHECK(drawing_of(fmt::format("<switch><foreignObject requiredExtensions='urn:x'/><g>{0}{0}</g>"
                                 "{1}</switch>",
                                 line, square))
              .strokes.size() == 2);
    // Names with a prefix of SVG's own, a DOCTYPE without declarations, a byte order mark.
    const auto read = read_svg(
        "\xef\xbb\xbf<?xml version='1.0'?>\n<!DOCTYPE svg PUBLIC '-//W3C//DTD SVG 1.1//EN' "
        "'http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd'>\n"
        "<s:svg xmlns:s='http://www.w3.org/2000/svg'><s:path d='M0 0H10'/><path "
        "d='wrong'/></s:svg>");
    REQUIRE(std::holds_alternative<SvgDrawing>(read));
    CHECK(std::get<SvgDrawing>(read).strokes.size() == 1);
}

TEST_CASE("what has no outline of its own is told, not left out") {
    CHECK(svg_fault(fmt::format("{}\n<g><text>word</text></g>", line)) ==
          "its line 3 has <text>; turn text into paths in the drawing program first");
    CHECK(svg_fault(fmt::format("<use href='#a'/>{}", line)) ==
          "its line 2 has <use>; turn copies into paths of their own in the drawing program first");
    CHECK(svg_fault(fmt::format("{}<image href='a.png'/>", line)) ==
          "its line 2 has <image>; only paths and shapes can be flown, so take it out of the file "
          "or hide it");
    CHECK(svg_fault(fmt::format("<svg viewBox='0 0 1 1'>{}</svg>", line)) ==
          "its <svg> on line 2 has a viewBox of its own, which is allowed in the outermost <svg> "
          "alone");
}

TEST_CASE("faults of attributes name element, line and place") {
    CHECK(svg_fault(fmt::format("{}\n\n<path\n d='M 1 1 L 2 x'/>", line)) ==
          "its <path> on line 4 has a d whose character 11 is \"x\"; allowed there is a number");
    CHECK(svg_fault("<g transform='spin(1)'/>")
              .starts_with("its <g> on line 2 has a transform whose character 1 is \"s\"; allowed "
                           "there is matrix"));
    CHECK(svg_fault("<polyline points='1 2 3'/>") ==
          "its <polyline> on line 2 has points whose text ends where the second number of a point "
          "should follow");
    CHECK(svg_fault("<polyline points='1 2 , ,'/>")
              .starts_with("its <polyline> on line 2 has points whose character 7 is \",\"; "
                           "allowed there is"));
}

TEST_CASE("files that are no drawing are refused in one sentence") {
    CHECK(svg_fault_of_file("") == "it holds no XML");
    CHECK(svg_fault_of_file("just words") == "it holds no XML");
    CHECK(svg_fault_of_file("<html><svg/></html>") == "it begins with <html>; allowed is <svg>");
    CHECK(svg_fault_of_file("<svg/><svg/>") ==
          "it has more than one element at the top; allowed is one, <svg>");
    CHECK(svg_fault("") == "it holds nothing to draw");
    CHECK(svg_fault("<path d='M5 5z'/><path d='M1 1L1 1'/>") == "it holds nothing to draw");
    CHECK(svg_fault("<path d='M5 5V20'/>") ==
          "its drawing is 0 wide and 15 high; allowed is up to 1000 times as high as wide");
    CHECK(svg_fault("<path d='M0 0H1e-9'/>") ==
          "its drawing is smaller than 1e-06, which is a point");
    // A stray point is nothing, wherever it lies.
    CHECK(drawing_of("<path d='M9e8 9e8L9e8 9e8'/><circle r='1'/>").strokes[0].points.size() > 60);
}

TEST_CASE("broken and hostile XML is refused") {
    const std::string whole = in_svg(fmt::format("<g>{}</g>", line));
    for (std::size_t length = 0; length + 2 < whole.size(); length += 3)
        CHECK(svg_fault_of_file(whole.substr(0, length)) != "no fault");
    CHECK(svg_fault_of_file("<svg>\n<g></svg>") ==
          "its line 2 ends an element that is not open, or the file breaks off");
    CHECK(svg_fault_of_file("<svg>\n<path d=1/></svg>") == "its line 2 is no well-formed XML");
    CHECK(svg_fault_of_file(std::string("<svg>\0</svg>", 12)) ==
          "its byte 6 is 0; allowed is text in UTF-8");
    std::string bomb = "<!DOCTYPE svg [<!ENTITY a 'M0 0H10'>";
    for (char name = 'b'; name < 'z'; ++name) {
        bomb += fmt::format("<!ENTITY {} '", name);
        for (int i = 0; i < 10; ++i) bomb += fmt::format("&{};", static_cast<char>(name - 1));
        bomb += "'>";
    }
    CHECK(svg_fault_of_file(fmt::format("{}]><svg><path d='&y;'/></svg>", bomb)) ==
          "its DOCTYPE declares entities or the like, which is not allowed");
    CHECK(svg_fault_of_file("<!DOCTYPE svg [<!ENTITY a SYSTEM 'file:///etc/passwd'>]>"
                            "<svg><path d='&a;'/></svg>") ==
          "its DOCTYPE declares entities or the like, which is not allowed");
    // An entity that was never declared is text.
    CHECK(svg_fault("<path d='&a;'/>").find("character 1 is \"&\"") != std::string::npos);
}

TEST_CASE("hostile sizes are refused in bounded time") {
    const StopWatch watch;
    std::string deep;
    for (int i = 0; i < 100'000; ++i) deep += "<g>";
    CHECK(svg_fault_of_file(fmt::format("<svg>{}", deep)) ==
          "its line 1 ends an element that is not open, or the file breaks off");
    deep += line;
    for (int i = 0; i < 100'000; ++i) deep += "</g>";
    CHECK(svg_fault(deep) ==
          "its line 2 lies in more than the 1000 groups within each other that are allowed");

    std::string many = "M0 0";
    for (int i = 0; i < 1'000'000; ++i) many += i % 2 == 0 ? "h1" : "v1";
    CHECK(svg_fault(fmt::format("<path d='{}'/>", many)) ==
          "its <path> on line 2 has a d whose segments exceed the 200000 that are allowed in a "
          "drawing");
    std::string circles;
    for (int i = 0; i < 20'000; ++i) circles += "<circle r='1'/>";
    CHECK(svg_fault(circles) == "it takes more than the 200000 points that are allowed");
    std::string lines;
    for (int i = 0; i < 450'000; ++i) lines += "<path d='M0 0H1'/>";
    CHECK(svg_fault(lines) == "it holds more than 400000 segments; allowed is half of that");
    CHECK(svg_fault_of_file(std::string(most_svg_bytes + 1, ' ')) ==
          "it is larger than the 16 MB that are allowed");
    CHECK(svg_fault_of_file(std::string(most_svg_bytes, '<')) ==
          "its line 1 is no well-formed XML");
    CHECK(svg_fault(fmt::format("<path d='M0 0L{} 5'/>", std::string(1'000'000, '1')))
              .ends_with("…, out of what can be held"));
}

TEST_CASE("numbers without bounds are refused") {
    const std::string far =
        "reaches farther than 1000000000 from the origin, which is as far as is "
        "allowed";
    for (const char* element :
         {"<path d='M0 0L1e308 1e308'/>", "<path d='M0 0l1e308 0l1e308 0l-1e308 0'/>",
          "<path d='M0 0C1e308 0 0 1e308 5 5'/>", "<path d='M0 0A1e308 1e308 0 0 0 1e308 5'/>",
          "<path d='M0 0A1e15 1e15 0 0 0 1e9 5'/>", "<circle r='1e300'/>",
          "<line x2='1' transform='scale(1e308) scale(1e308)'/>",
          "<line x2='1' transform='matrix(1e308 1e308 -1e308 1e308 1e308 0) scale(10 10)'/>",
          "<rect width='1e308' height='1e308' x='1e308' rx='1e307'/>"}) {
        CAPTURE(element);
        CHECK(svg_fault(element).ends_with(far));
    }
    CHECK(svg_fault("<circle r='1e400'/>").find("1e400") != std::string::npos);
}

TEST_CASE("the drawings that come along are single strokes of light") {
    const auto drawn = [](const std::string& name) {
        std::ostringstream bytes;
        bytes << std::ifstream(fmt::format("{}/scenes/{}", LAMPFLIGHT_SOURCE_DIR, name)).rdbuf();
        const auto read = read_svg(bytes.str());
        REQUIRE(std::holds_alternative<SvgDrawing>(read));
        return std::get<SvgDrawing>(read);
    };
    const SvgDrawing heart = drawn("heart.svg");
    REQUIRE(heart.strokes.size() == 1);
    CHECK(heart.strokes[0].closed);
    // Its cusps above and below are all its corners.
    std::vector<Vec2> corners;
    for (std::size_t i = 0; i < heart.strokes[0].points.size(); ++i)
        if (heart.strokes[0].corner[i]) corners.push_back(heart.strokes[0].points[i]);
    REQUIRE(corners.size() == 2);
    CHECK_WITHIN(corners[0].x, 50.0, 1e-12);
    CHECK_WITHIN(corners[1].x, 50.0, 1e-12);
    CHECK_WITHIN(figure_box(heart).centre().x, 50.0, 1e-9);
    for (const SvgStroke& stroke : drawn("letters.svg").strokes) {
        CHECK(!stroke.closed);
        CHECK(std::count(stroke.corner.begin(), stroke.corner.end(), true) == 2);
    }
}
