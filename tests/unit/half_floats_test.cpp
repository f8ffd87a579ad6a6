// Half floats in bulk against Imath's one by one, over all of them (IEEE 754-2008, binary16).
#include "renderer/half_floats.h"

#include <Imath/half.h>
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <cstring>
#include <vector>

using namespace lampflight;

TEST_CASE("every half float becomes the float that Imath makes of it, at any address") {
    constexpr std::size_t count = 65536;
    constexpr std::size_t moved = 3;
    std::vector<char> bytes(2 * count + moved);
    for (std::size_t i = 0; i < count; ++i) {
        const auto bits = static_cast<std::uint16_t>(i);
        std::memcpy(bytes.data() + moved + 2 * i, &bits, 2);
    }
    // In runs of many lengths, so that every place within a run is met.
    std::vector<float> floats(count);
    for (std::size_t first = 0, run = 1; first < count; first += run, run = run % 37 + 1) {
        run = std::min(run, count - first);
        floats_from_halves(bytes.data() + moved + 2 * first, run, floats.data() + first);
    }
    int wrong = 0;
    for (std::size_t i = 0; i < count; ++i) {
        half one;
        one.setBits(static_cast<std::uint16_t>(i));
        const auto wanted = static_cast<float>(one);
        const bool same = std::isnan(wanted) ? std::isnan(floats[i])
                                             : std::memcmp(&wanted, &floats[i], 4) == 0;
        wrong += same ? 0 : 1;
    }
    CHECK(wrong == 0);
}
