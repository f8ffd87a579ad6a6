// Half floats against OpenEXR's own conversion, one by one.
#include "renderer/half_floats.h"

#include <doctest/doctest.h>

#include <Imath/half.h>

#include <cmath>
#include <cstring>
#include <vector>

using namespace lampflight;

TEST_CASE("every half float becomes the float of its value") {
    std::vector<half> halves;
    for (unsigned bits = 0; bits < 0x10000u; ++bits) {
        halves.emplace_back();
        halves.back().setBits(static_cast<unsigned short>(bits));
    }
    // At an odd address, too.
    std::vector<char> bytes(2 * halves.size() + 1);
    std::memcpy(bytes.data() + 1, halves.data(), 2 * halves.size());
    std::vector<float> floats(halves.size());
    floats_from_halves(bytes.data() + 1, floats.size(), floats.data());
    std::size_t different = 0;
    for (std::size_t i = 0; i < halves.size(); ++i) {
        if (halves[i].isFinite())
            different += floats[i] != static_cast<float>(halves[i]) ||
                         std::signbit(floats[i]) != halves[i].isNegative();
        else
            different += !(std::abs(floats[i]) >= 65536.0f);
    }
    CHECK(different == 0);
}
