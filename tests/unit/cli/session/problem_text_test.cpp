// How problems are shown: line, caret, folding, and their count.
#include <doctest/doctest.h>

#include "cli/session/problem_text.h"

using namespace lampflight;

namespace {

Problem in_line(int line, const std::string& text) {
    return {"my.toml", line, 1, text};
}

/// The line that is shown, and the characters before the caret in columns of one.
std::pair<std::string, std::size_t> shown(std::string_view line, int column) {
    const std::string text = excerpt(line, column);
    const std::size_t end = text.find('\n');
    return {text.substr(0, end), text.size() - end - 3};
}

}  // namespace

TEST_CASE("A problem is shown with its line and a caret under the place") {
    CHECK(problems_text({{"my.toml", 2, 12, "what, and what is allowed"}},
                        "[camera]\nf_number = 7,1\n") ==
          "my.toml:2:12: what, and what is allowed\n"
          "    f_number = 7,1\n"
          "               ^\n"
          "1 problem; 'lampflight keys' lists what a scene may hold\n");
}

TEST_CASE("Problems without a line, in empty lines and beyond the text have no excerpt") {
    for (const Problem& problem :
         {Problem{"--set iso=x", 0, 0, "no"}, in_line(2, "no"), in_line(9, "no")})
        CHECK(problems_text({problem}, "a\n\nb").find('^') == std::string::npos);
    CHECK(problems_text({in_line(1, "no")}, "").find('^') == std::string::npos);
}

TEST_CASE("The caret stands under its character, whatever comes before") {
    CHECK(shown("iso = x", 7) == std::pair<std::string, std::size_t>("    iso = x", 10));
    CHECK(shown("\tiso = x", 8) == std::pair<std::string, std::size_t>("     iso = x", 11));
    CHECK(shown("Größe = x", 9).second == 12);
    CHECK(shown("e\u0301 = x", 6).second == 8);  // a mark that joins its letter
    CHECK(shown("\u5149 = x", 5).second == 9);   // a wide one
    CHECK(shown("x", 99).second == 5);           // behind the end
    CHECK(shown("x\r", 1).first == "    x\\r");
}

TEST_CASE("Control characters and stray bytes are made harmless") {
    CHECK(shown("a\x1b[31m = x", 9) ==
          std::pair<std::string, std::size_t>("    a\\x1b[31m = x", 15));
    CHECK(shown("\xff\xc3 = x", 6) ==
          std::pair<std::string, std::size_t>("    \\xff\\xc3 = x", 15));
    CHECK(shown("a\u202eb", 3) == std::pair<std::string, std::size_t>("    a?b", 6));
}

TEST_CASE("Long lines are cropped about the place") {
    const std::string line = std::string(500, 'a') + 'X' + std::string(500, 'b');
    const auto [text, before] = shown(line, 501);
    CHECK(text.size() < 90);
    CHECK(text.find("…a") == 4);
    CHECK(text.ends_with("b…"));
    const std::string plain = text.substr(7);  // indent and the sign of cropping, three bytes
    CHECK(plain.at(before - 5) == 'X');
    CHECK(shown(line, 1).first.starts_with("    aaa"));
    CHECK(shown(line, 1001).first.ends_with("bbb"));
}

TEST_CASE("Four or more problems alike are told once, with the lines of the others") {
    std::vector<Problem> problems;
    std::string source;
    for (int line = 1; line <= 12; ++line) {
        problems.push_back(in_line(line, "unknown key \"x\" in [[lamp]] \"lamp " +
                                             std::string(static_cast<std::size_t>(line), 'a') +
                                             "\""));
        source += "x = 1\n";
    }
    const std::string all = problems_text(problems, source);
    CHECK(all.find("and 11 more like it, in lines 2, 3, 4, 5, 6, 7, 8, 9, …\n") !=
          std::string::npos);
    CHECK(all.find("12 problems;") != std::string::npos);
    CHECK(all.find("my.toml:2") == std::string::npos);
    problems.resize(3);
    const std::string few = problems_text(problems, source);
    CHECK(few.find("my.toml:3:1") != std::string::npos);
    CHECK(few.find("more") == std::string::npos);
}

TEST_CASE("Twenty problems are shown, and all are counted") {
    std::vector<Problem> problems;
    for (int line = 1; line <= 50; ++line)
        problems.push_back(in_line(line, std::string(static_cast<std::size_t>(line), 'a')));
    const std::string text = problems_text(problems, "");
    CHECK(text.find("my.toml:20:1") != std::string::npos);
    CHECK(text.find("my.toml:21:1") == std::string::npos);
    CHECK(text.find("and 30 more\n50 problems;") != std::string::npos);
}
