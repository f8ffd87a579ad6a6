#include <doctest/doctest.h>

#include "scene/basics/wording.h"

using namespace lampflight;

TEST_CASE("lower case is of ASCII letters alone") {
    CHECK(lower_case(".PnG") == ".png");
    CHECK(lower_case("@[`{ É 7") == "@[`{ É 7");
    CHECK(lower_case("").empty());
}
