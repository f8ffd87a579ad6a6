// An eighth of all blocks to half a per cent, and light that has bounced twice.
#include <doctest/doctest.h>

#include "tests/reference/doorway_checks.h"

using namespace lampflight;

TEST_CASE("behind a doorway: an eighth of the film") {
    for (const int bounces : {1, 2}) {
        const DoorwayJudge judge({4, 2}, {.bounces = bounces, .wanted_error = 0.005});
        judge.check(Quality::good, allowed_at_good);
        judge.check(Quality::draft, allowed_at_draft);
    }
}
