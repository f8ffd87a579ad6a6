#include "scene/basics/nearest_word.h"

#include <doctest/doctest.h>

using namespace lampflight;

// Textbook pairs of the two classic distances, from memory.
TEST_CASE("Edit distance counts single-character slips") {
    CHECK(edit_distance("kitten", "sitting") == 3);
    CHECK(edit_distance("saturday", "sunday") == 3);
    CHECK(edit_distance("", "abc") == 3);
    CHECK(edit_distance("abc", "") == 3);
    CHECK(edit_distance("same", "same") == 0);
}

TEST_CASE("Two neighbours swapped count as one slip, but are not edited again") {
    CHECK(edit_distance("ab", "ba") == 1);
    CHECK(edit_distance("center", "centre") == 1);
    CHECK(edit_distance("ca", "abc") == 3);
}

TEST_CASE("The nearest word is the one with the fewest slips") {
    const std::vector<std::string> keys{"focal_mm", "focus_m", "f_number", "iso"};
    CHECK(nearest_word("focal_m", keys) == "focal_mm");
    CHECK(nearest_word("focus_mm", keys) == "focus_m");
    CHECK(nearest_word("f_nubmer", keys) == "f_number");
    CHECK(nearest_word("ISO", keys) == "iso");
    CHECK(nearest_word("iso", keys) == "iso");
}

TEST_CASE("A missing unit is one slip") {
    CHECK(nearest_word("focal", {"fog", "focal_mm"}) == "focal_mm");
    CHECK(nearest_word("flux", {"flip", "flux_lm"}) == "flux_lm");
}

TEST_CASE("Of equally near words the first is offered") {
    CHECK(nearest_word("lap", {"lamp", "map"}) == "lamp");
    CHECK(nearest_word("lap", {"map", "lamp"}) == "map");
}

TEST_CASE("Nothing is offered for a word that is far from all") {
    CHECK_FALSE(nearest_word("colour", {"iso", "spill", "aim"}));
    CHECK_FALSE(nearest_word("iso", {}));
    CHECK_FALSE(nearest_word("", {"iso"}));
    CHECK_FALSE(nearest_word(std::string(100000, 'i'), {"iso", std::string(100000, 'i')}));
}
