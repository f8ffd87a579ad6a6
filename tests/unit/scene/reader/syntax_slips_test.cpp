// Slips of the hand in a scene's text: which is recognised, and what it is told to write.
#include <doctest/doctest.h>

#include <algorithm>
#include <cctype>
#include <fstream>

#include "scene/reader/read_shoot.h"
#include "scene/reader/statements.h"
#include "scene/reader/value_slip.h"
#include "tests/unit/scene/reader/problems_of.h"

using namespace lampflight;

namespace {

std::string to_write(std::string_view table, std::string_view key, std::string_view written) {
    const auto slip = value_slip(written, *find_key(table, key));
    return slip ? slip->write : "";
}

std::vector<Problem> refused(const std::string& scene) {
    return problems_of(read_shoot(scene, "my.toml"));
}

/// A slip of the hand, put into one line of a scene.
struct HandSlip {
    std::string name;
    /// The line as it would be written by mistake; empty where it does not fit the line.
    std::string (*of)(const std::string& line);
};

bool ends_in_digit(const std::string& line) {
    return line.find(" = ") != line.npos && line.find_first_of("\"[{") == line.npos &&
           std::isdigit(static_cast<unsigned char>(line.back())) != 0 &&
           line.find("when") == line.npos;
}

std::string without(std::string line, char letter) {
    const std::size_t at = line.rfind(letter);
    if (at == line.npos || line.find(" = ") == line.npos || line.find('#') != line.npos) return "";
    return line.erase(at, 1);
}

const std::vector<HandSlip> hand_slips{
    {"decimal comma",
     [](const std::string& line) { return ends_in_digit(line) ? line + ",5" : ""; }},
    {"unit", [](const std::string& line) { return ends_in_digit(line) ? line + " mm" : ""; }},
    {"fraction", [](const std::string& line) { return ends_in_digit(line) ? line + "/60" : ""; }},
    {"last comma", [](const std::string& line) { return ends_in_digit(line) ? line + "," : ""; }},
    {"no value",
     [](const std::string& line) {
         return ends_in_digit(line) ? line.substr(0, line.find('=') + 1) : "";
     }},
    {"colon",
     [](const std::string& line) {
         return ends_in_digit(line) ? std::string(line).replace(line.find(" ="), 2, ":") : "";
     }},
    {"quote missing", [](const std::string& line) { return without(line, '"'); }},
    {"bracket missing", [](const std::string& line) { return without(line, ']'); }},
    {"brace missing", [](const std::string& line) { return without(line, '}'); }},
    {"header open",
     [](const std::string& line) {
         return line.starts_with('[') && line.ends_with(']') ? line.substr(0, line.size() - 1) : "";
     }},
};

std::vector<std::string> scene_lines(const std::string& file) {
    std::ifstream stream(LAMPFLIGHT_SOURCE_DIR "/" + file);
    std::vector<std::string> lines;
    for (std::string line; std::getline(stream, line);) lines.push_back(line);
    return lines;
}

std::string joined(const std::vector<std::string>& lines) {
    std::string all;
    for (const std::string& line : lines) all += line + '\n';
    return all;
}

}  // namespace

TEST_CASE("A text is cut into headers and keys, over several lines where brackets are open") {
    const std::string cut =
        "# a scene\n[camera]  # one\niso = 400 # fine\npixels = [6,\n  4]\n\nwrong\n"
        "open = [1,\n[[lamp]]\nname = \"a # b\"";
    const std::vector<Statement> parts = statements_of(cut);
    REQUIRE(parts.size() == 7);
    CHECK(parts[0].is_header());
    CHECK(parts[0].table() == "camera");
    CHECK(parts[1].key() == "iso");
    CHECK(parts[1].value() == "400");
    CHECK(parts[2].line == 4);
    CHECK(parts[2].value() == "[6,\n  4]");
    CHECK(parts[3].key().empty());
    CHECK(parts[3].head() == "wrong");
    CHECK(parts[4].open_brackets == "[");
    CHECK(parts[5].table() == "lamp");
    CHECK(parts[6].value() == "\"a # b\"");
    CHECK(parts[6].line == 10);
}

TEST_CASE("A text in three quotes is one value, whatever its lines look like") {
    const std::vector<Statement> parts =
        statements_of("title = \"\"\"a\nb = c\n[d]\"\"\"\niso = 1\n");
    REQUIRE(parts.size() == 2);
    CHECK(parts[1].key() == "iso");
}

TEST_CASE("A slip in a value is told by the kind of value that the key wants") {
    CHECK(to_write("camera", "f_number", "7,1") == "7.1");
    CHECK(to_write("camera", "focal_mm", "\"20 mm\"") == "20");
    CHECK(to_write("flight", "height_m", "26'") == "7.92");
    CHECK(to_write("camera", "position_m", "[3, -19 1.5") == "[3, -19, 1.5]");
    CHECK(to_write("camera", "pixels", "6000 x 4000") == "[6000, 4000]");
    CHECK(to_write("ground", "reflectance", "[30%, 26%, 21%]") == "[0.3, 0.26, 0.21]");
    CHECK(to_write("flight", "shape", "circle") == "\"circle\"");
    CHECK(to_write("flight", "shape", "\"circel") == "\"circle\"");
    CHECK(to_write("flight", "clockwise", "Yes") == "true");
    CHECK(to_write("flight", "carries", "warm, cold") == "[\"warm\", \"cold\"]");
    CHECK(to_write("flight", "carries", "[\"warm, \"cold\"]") == "[\"warm\", \"cold\"]");
    CHECK(to_write("take", "flights", "[\"low halo\" \"high halo\"]") ==
          "[\"low halo\", \"high halo\"]");
    CHECK(to_write("subject", "name", "the walker") == "\"the walker\"");
    CHECK(to_write("lamp", "aim", "down") == "\"down\"");
    CHECK(to_write("lamp", "lit_s", "0, 4") == "[0, 4]");
}

TEST_CASE("A moment is understood in the ways that people write one") {
    const auto moment = [](std::string_view written) { return to_write("place", "when", written); };
    CHECK(moment("2026-10-16T19:10+01") == "2026-10-16T19:10:00+01:00");
    CHECK(moment("2026-10-16 19:10:30 +0100") == "2026-10-16T19:10:30+01:00");
    CHECK(moment("16.10.2026 19:10 UTC-2") == "2026-10-16T19:10:00-02:00");
    CHECK(moment("16.10.2026, 19:10 UTC") == "2026-10-16T19:10:00Z");
    CHECK(moment("2026-10-16 19:10").starts_with("2026-10-16T19:10:00+01:00 where clocks"));
    CHECK(moment("2026-10-16").find("2026-10-16T17:35:00+01:00") != std::string::npos);
    for (const char* none : {"2026-13-16", "2026-10-16 25:10", "2026-10-32T10:00:00Z"})
        CHECK_MESSAGE(moment(none).starts_with("a month up to 12"), none);
    CHECK(moment("2027-02-29 19:10") == "a day up to 2027-02-28");
    CHECK(moment("2028-02-30T19:10:00Z") == "a day up to 2028-02-29");
    for (const char* other : {"1850-10-16", "this evening", "19:10"})
        CHECK_MESSAGE(moment(other).empty(), other);
}

TEST_CASE("What can't be understood is left to the parser's words") {
    for (const char* other : {"", "?", "[", "]", "\"", "[[", "{", "=", "\\", "# 3", "[1, [2], 3]"})
        for (const Key& key : key_table()) {
            const auto slip = value_slip(other, key);
            if (slip) CHECK_MESSAGE(!slip->write.empty(), key.name, ' ', other);
        }
    CHECK(to_write("camera", "position_m", std::string(300, '1')).empty());
}

TEST_CASE("All slips of a text are told at once, each in its line") {
    const auto problems = refused("[camera]\nf_number = 7,1\niso = 400\n\n[[lamp]\nname = warm\n");
    REQUIRE(problems.size() == 3);
    CHECK(to_string(problems[0]) ==
          "my.toml:2:12: \"f_number\" in [camera] is written with a decimal comma; write 7.1");
    CHECK(to_string(problems[1]) ==
          "my.toml:5:1: the header of a table lacks a bracket; write [[lamp]]");
    CHECK(problems[2].line == 6);
}

TEST_CASE("Any slip of the hand in a demo scene is told of in its own line") {
    int told = 0;
    for (const char* file : {"scenes/ruin-sweep.toml", "scenes/start/halo.toml",
                             "scenes/start/ring.toml", "scenes/start/sweep.toml"}) {
        const std::vector<std::string> lines = scene_lines(file);
        REQUIRE(lines.size() > 20);
        for (std::size_t i = 0; i < lines.size(); ++i) {
            const HandSlip& slip = hand_slips[(i * 7 + lines.size()) % hand_slips.size()];
            for (const HandSlip* tried : {&slip, &hand_slips[i % hand_slips.size()]}) {
                std::vector<std::string> wrong = lines;
                wrong[i] = lines[i].starts_with('#') ? "" : tried->of(lines[i]);
                if (wrong[i].empty()) continue;
                ++told;
                const auto problems = refused(joined(wrong));
                const bool in_line = std::ranges::any_of(problems, [&](const Problem& problem) {
                    return problem.line == static_cast<int>(i) + 1;
                });
                CHECK_MESSAGE(in_line, file, ", ", tried->name, ": ", wrong[i]);
            }
        }
    }
    CHECK(told > 40);
}
