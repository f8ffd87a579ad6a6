#include <doctest/doctest.h>

#include "cli/reports/table.h"

using namespace lampflight;

namespace {

const Table flights{{{"Flight"}, {"Top speed m/s", Align::right}, {"Remark", Align::left, 200, 14}},
                    {{"low", "2.5", "goes round the stone once and back"}, {"high", "11.0"}}};

}  // namespace

TEST_CASE("a table with room enough stands on single lines") {
    CHECK(to_text(flights, 100) ==
          "Flight  Top speed m/s  Remark\n"
          "low               2.5  goes round the stone once and back\n"
          "high             11.0\n");
}

TEST_CASE("short of room, headings are folded first and then the widest cells") {
    CHECK(to_text(flights, 52) ==
          "          Top\n"
          "        speed\n"
          "Flight    m/s  Remark\n"
          "low       2.5  goes round the stone once and back\n"
          "high     11.0\n");
    CHECK(to_text(flights, 33) ==
          "          Top\n"
          "        speed\n"
          "Flight    m/s  Remark\n"
          "low       2.5  goes round the\n"
          "               stone once and\n"
          "               back\n"
          "high     11.0\n");
}

TEST_CASE("columns without room follow as another block that repeats the keys") {
    CHECK(to_text(flights, 24) ==
          "          Top\n"
          "        speed\n"
          "Flight    m/s\n"
          "low       2.5\n"
          "high     11.0\n"
          "\n"
          "Flight  Remark\n"
          "low     goes round the\n"
          "        stone once and\n"
          "        back\n"
          "high\n");
}

TEST_CASE("words longer than a line are cut between characters") {
    CHECK(wrapped("äöüäöü ab", 4) == std::vector<std::string>{"äöüä", "öü", "ab"});
    CHECK(wrapped("", 4) == std::vector<std::string>{""});
    CHECK(paragraph("one two three", 9, 2) == "one two\n  three\n");
    CHECK(length_of("f/8 – üb") == 8);
}
