// IEC 61966-2-1; values computed from its formula with colour-science 0.4.6.
#include <array>

#include "renderer/develop/tone.h"
#include "tests/within.h"

using namespace lampflight;

TEST_CASE("sRGB encoding of linear values") {
    constexpr std::array<std::array<double, 2>, 9> rows{{{0, 0},
                                                         {0.001, 0.01292},
                                                         {0.0031308, 0.040449936},
                                                         {0.01, 0.0998528227},
                                                         {0.05, 0.247800528},
                                                         {0.18, 0.46135613},
                                                         {0.5, 0.735356983},
                                                         {0.9, 0.954687172},
                                                         {1.0, 1.0}}};
    for (const auto& [linear, encoded] : rows) CHECK_WITHIN(srgb_encode(linear), encoded, 1e-7);
}

TEST_CASE("sRGB decoding of codes") {
    constexpr std::array<std::array<double, 2>, 10> rows{{{0, 0},
                                                          {1, 0.000303526984},
                                                          {10, 0.00303526984},
                                                          {11, 0.00334653576},
                                                          {12, 0.00367650732},
                                                          {64, 0.0512694584},
                                                          {118, 0.181164244},
                                                          {128, 0.2158605},
                                                          {188, 0.502886458},
                                                          {255, 1}}};
    for (const auto& [code, linear] : rows) CHECK_WITHIN(srgb_decode(code / 255.0), linear, 1e-8);
}

TEST_CASE("sRGB decoding undoes encoding") {
    // Where the two branches meet the standard's rounded constants leave 5e-9.
    for (int i = 0; i <= 1000; ++i)
        CHECK_WITHIN(srgb_decode(srgb_encode(i / 1000.0)), i / 1000.0, 1e-7);
}
