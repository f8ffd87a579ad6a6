// Spectral locus and dominant wavelengths against published chromaticities.
#include "scene/basics/spectral_locus.h"

#include <cmath>

#include "renderer/air/air_spectrum.h"
#include "scene/basics/colour.h"
#include "scene/lamps/lamp.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

struct Spectral {
    double nm;
    Vec2 xy;
};

}  // namespace

// ISO/CIE 11664-1, CIE 1931 2-degree observer, chromaticities to four digits as CIE 15 prints them
// (from memory; they agree with the functions in steps of 10 nm of Debian's
// python3-colormath 3.0.0).
TEST_CASE("monochromatic light has the chromaticity of the CIE tables") {
    for (const Spectral& row :
         {Spectral{400.0, {0.1733, 0.0048}}, Spectral{460.0, {0.1440, 0.0297}},
          Spectral{480.0, {0.0913, 0.1327}}, Spectral{500.0, {0.0082, 0.5384}},
          Spectral{520.0, {0.0743, 0.8338}}, Spectral{550.0, {0.3016, 0.6923}},
          Spectral{580.0, {0.5125, 0.4866}}, Spectral{600.0, {0.6270, 0.3725}},
          Spectral{700.0, {0.7347, 0.2653}}})
        CHECK_WITHIN(spectral_xy(row.nm), row.xy, 1e-4);
}

// The same table in steps of 5 nm (from memory). Between 500 and 520 nm the locus turns within two
// steps of ours.
TEST_CASE("between the entries the locus follows the finer table") {
    for (const Spectral& row :
         {Spectral{465.0, {0.1355, 0.0399}}, Spectral{475.0, {0.1096, 0.0868}},
          Spectral{525.0, {0.1142, 0.8262}}, Spectral{555.0, {0.3374, 0.6588}},
          Spectral{585.0, {0.5448, 0.4544}}, Spectral{605.0, {0.6482, 0.3514}},
          Spectral{625.0, {0.7006, 0.2993}}})
        CHECK_WITHIN(spectral_xy(row.nm), row.xy, 1e-3);
    for (const Spectral& row :
         {Spectral{505.0, {0.0039, 0.6548}}, Spectral{515.0, {0.0389, 0.8120}}})
        CHECK_WITHIN(spectral_xy(row.nm), row.xy, 4e-3);
}

// Wyman, Sloan and Shirley 2013, which err by up to about 2 % of the functions' peaks.
TEST_CASE("the locus lies by another approximation of the observer") {
    for (double nm = 450.0; nm <= 640.0; nm += 2.5) {
        const Vec3 xyz = observer_1931(nm);
        CHECK_WITHIN(spectral_xy(nm), Vec2(xyz) / (xyz.x + xyz.y + xyz.z), 0.03);
    }
}

// CIE 15: excitation purity is the share of the way from the white to the locus.
TEST_CASE("purity leads from equal-energy white to the locus") {
    for (const double nm : {450.0, 532.0, 590.0, 650.0}) {
        CHECK_WITHIN(dominant_xy(nm, 0.0), Vec2(1.0 / 3.0, 1.0 / 3.0), 1e-12);
        CHECK_WITHIN(dominant_xy(nm, 1.0), spectral_xy(nm), 1e-12);
        const Vec2 half = 0.5 * (Vec2(1.0 / 3.0) + spectral_xy(nm));
        CHECK_WITHIN(dominant_xy(nm, 0.5), half, 1e-12);
    }
}

TEST_CASE("light lies on or within the locus and the purples") {
    for (double nm = 400.0; nm <= 700.0; nm += 0.5)
        for (const double purity : {0.0, 0.5, 1.0}) CHECK(is_light(dominant_xy(nm, purity)));
    // Primaries of ITU-R BT.709 and BT.2020, the white D65, and 505 nm.
    for (const Vec2& xy :
         {Vec2(0.64, 0.33), Vec2(0.30, 0.60), Vec2(0.15, 0.06), Vec2(0.708, 0.292),
          Vec2(0.170, 0.797), Vec2(0.131, 0.046), Vec2(0.3127, 0.3290), Vec2(0.0039, 0.6548)})
        CHECK(is_light(xy));
    // Primaries of ACES (SMPTE ST 2065-1) that no light has, and others off the table.
    for (const Vec2& xy : {Vec2(0.0, 1.0), Vec2(0.0001, -0.077), Vec2(0.3, 0.0), Vec2(0.1, 0.1),
                           Vec2(0.4, 0.05), Vec2(0.7, 0.31), Vec2(0.75, 0.25), Vec2(0.0, 0.3)})
        CHECK_FALSE(is_light(xy));
}

// ITU-R BT.709: each primary is all of one component.
TEST_CASE("a stated chromaticity comes out as its share of the primaries") {
    Lamp lamp;
    lamp.chromaticity_xy = Vec2(0.64, 0.33);
    CHECK_WITHIN(lamp_colour(lamp), Rgb(1.0 / 0.2126, 0.0, 0.0), 2e-3);
    lamp.chromaticity_xy = Vec2(0.3127, 0.3290);
    CHECK_WITHIN(lamp_colour(lamp), Rgb(1.0), 1e-3);
}

TEST_CASE("light beyond Rec. 709 has no component below none and luminance 1") {
    for (double nm = 400.0; nm <= 700.0; nm += 5.0) {
        Lamp lamp;
        lamp.dominant_nm = nm;
        const Rgb colour = lamp_colour(lamp);
        CHECK(glm::all(glm::greaterThanEqual(colour, Rgb(0.0))));
        CHECK_WITHIN(luminance(colour), 1.0, 1e-12);
    }
}
