// Light that has bounced once, in the shade of a narrow lit strip, against the path tracer.
#include <doctest/doctest.h>

#include "tests/reference/doorway_checks.h"

using namespace lampflight;

TEST_CASE("behind a doorway: wall, ground and slits in the shade after one bounce") {
    const DoorwayJudge judge({8, 5}, {.most_batches = 512});
    judge.check(Quality::good, allowed_at_good);
    judge.check(Quality::draft, allowed_at_draft);
}
