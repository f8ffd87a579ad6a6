// Plain OBJ statements: ways to end a line, to count corners, and what is refused.
#include <doctest/doctest.h>

#include <string>
#include <variant>

#include "scene/subjects/obj_text.h"

using namespace lampflight;

namespace {

const std::string corners = "v 0 0 0\nv 1 0 0\nv 0 1 0\nvn 0 0 1\n";

std::string plain_face(const std::string& face) {
    const auto plain = plain_obj(corners + "f " + face, 100);
    const auto* sound = std::get_if<PlainObj>(&plain);
    return sound ? sound->text.substr(corners.size()) : "refused: " + std::get<std::string>(plain);
}

}  // namespace

TEST_CASE("Lines end in any of three ways, and a backslash carries on to the next") {
    CHECK(plain_lines("a\nb\r\nc\rd") == "a\nb\nc\nd\n");
    CHECK(plain_lines("a\r\rb\n\nc\n") == "a\n\nb\n\nc\n");
    CHECK(plain_lines("f 1 \\\n2 \\\r\n3\n") == "f 1  2  3\n");
    CHECK(plain_lines("") == "");
    CHECK(plain_lines("\\") == "\\\n");
}

TEST_CASE("Corners are counted from one, textures left out, normals that do not exist as well") {
    CHECK(plain_face("1 2 3") == "f 1 2 3\n");
    CHECK(plain_face("-3 -2 -1") == "f 1 2 3\n");
    CHECK(plain_face("1/1/1 2/7/-1 3//1") == "f 1//1 2//1 3//1\n");
    CHECK(plain_face("1/1 2/2 3/-9") == "f 1 2 3\n");
    CHECK(plain_face("1//-9 2 3") == "f 1 2 3\n");
}

TEST_CASE("Corners that do not exist or overflow are refused, and so are their slips") {
    for (const char* face : {"1 2 0", "1 2 -4", "1 2 99999999999999999999", "1 2 4294967297",
                             "1 2 x", "1 2 -0", "1//x 2 3", "1/2147483648 2 3", "1 2 3/x/1"})
        CHECK_MESSAGE(plain_face(face) == "refused: its line 5 uses a vertex that does not exist",
                      face);
    CHECK(plain_face("1 2 4") == "refused: its line 5 uses vertex 4 of 3");
    CHECK(plain_face("1 2") == "refused: it holds no triangle");
}

TEST_CASE("Bytes that are no text, too many corners and too many triangles are refused") {
    const auto fault = [](const std::string& text, std::size_t most_triangles = 100) {
        const auto plain = plain_obj(text, most_triangles);
        const auto* said = std::get_if<std::string>(&plain);
        return said ? *said : "sound";
    };
    CHECK(fault(corners + std::string("f 1 2\0 3\n", 9)) == "its line 5 is no text");
    std::string wide = corners + "f";
    for (std::size_t i = 0; i <= most_face_corners; ++i) wide += " 1";
    CHECK(fault(wide, 1000).starts_with("its line 5 is a face of more than 500 corners"));
    CHECK(fault(corners + "f 1 2 3\nf 1 2 3\n", 1) ==
          "it holds more than 1 triangles; allowed is up to that");
    CHECK(fault("v 0 0 nan\n") == "its line 1 needs three numbers within 1000 km");
    CHECK(fault("v 0 0 2e6\n") == "its line 1 needs three numbers within 1000 km");
}
