// The oracle's own error shrinks with its instants: eight times as many as in the run of all tests
// must find no more apart.
#include <doctest/doctest.h>

#include "tests/reference/oracle_films.h"

using namespace lampflight;

TEST_CASE("oracle: fine at eight times the instants") {
    for (const char* name : {"ruin-sweep", "stone-ring", "shore-helix"})
        check_demo(name, Quality::fine, "fine at length", 4096);
}
