#include "cli/drawing/canvas.h"

#include <cmath>
#include <string>

#include "scene/basics/angle.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

constexpr Colour8 black{0, 0, 0};
constexpr Colour8 white{255, 255, 255};

/// How many pixels' worth of white there is.
double white_area(const Canvas& canvas) {
    double sum = 0.0;
    for (const std::uint8_t code : canvas.codes()) sum += code;
    return sum / (3.0 * 255.0);
}

}  // namespace

TEST_CASE("lines and rings cover their own area") {
    Canvas lines(200, 100, black);
    lines.line({30.0, 20.0}, {150.0, 70.0}, 4.0, white);
    // A stretch of 130 px and two half discs of radius 2.
    CHECK_RELATIVE(white_area(lines), 130.0 * 4.0 + pi * 4.0, 0.01);
    Canvas rings(200, 100, black);
    rings.ring({70.3, 50.2}, 20.0, 3.0, white);
    CHECK_RELATIVE(white_area(rings), 2.0 * pi * 20.0 * 3.0, 0.01);
    Canvas boxes(200, 100, black);
    boxes.fill({10.0, 10.0, 30.0, 20.0}, white, 0.5);
    CHECK_RELATIVE(white_area(boxes), 300.0, 0.01);
}

TEST_CASE("what falls off the canvas is left out") {
    Canvas canvas(20, 10, black);
    canvas.line({-100.0, -5.0}, {-50.0, 500.0}, 4.0, white);
    canvas.ring({40.0, 40.0}, 5.0, 2.0, white);
    canvas.fill({-50.0, -50.0, 20.0, 20.0}, white);
    canvas.text({-300.0, 5.0}, 8.0, white, "off");
    CHECK(white_area(canvas) == 0.0);
    canvas.fill({-5.0, -5.0, 500.0, 500.0}, white);
    CHECK(white_area(canvas) == 200.0);
}

TEST_CASE("text stays within the width that it states, and grows with its size") {
    for (const char* words : {"face −1.2", "Høle über dem Grat", "0", "+5.1 over white"}) {
        CAPTURE(words);
        const double width = text_width(20.0, words);
        CHECK(width > 5.0);
        CHECK_RELATIVE(text_width(40.0, words), 2.0 * width, 1e-5);
        Canvas canvas(400, 60, black);
        canvas.text({50.0, 40.0}, 20.0, white, words);
        CHECK(white_area(canvas) > 10.0);
        Canvas within = canvas;
        within.fill({49.0, 20.0, width + 2.0, 26.0}, black);
        CHECK(white_area(within) == 0.0);
    }
    CHECK(text_width(20.0, "") == 0.0);
}

TEST_CASE("text that is no UTF-8, and characters that no font has") {
    for (const std::string& words :
         {std::string("\xff\xfe\x80"), std::string("a\xe2\x82"), std::string("\xf0\x9f\x9a\x81"),
          std::string("\0\x01\x7f", 3), std::string(3000, 'w')}) {
        Canvas canvas(50, 20, black);
        canvas.text({1.0, 15.0}, 12.0, white, words);
        CHECK(std::isfinite(text_width(12.0, words)));
    }
}
