#include "scene/lamps/lamp.h"

#include <cmath>
#include <initializer_list>

#include "scene/basics/angle.h"
#include "scene/basics/colour.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

/// Flux through the whole sphere by the midpoint rule in cos w, split at the lobe's edge.
double flux_lm(const Beam& beam) {
    constexpr int steps = 200000;
    double sum_cd = 0.0;
    for (int i = 0; i < steps; ++i) sum_cd += beam.intensity_cd(-1.0 + 2.0 * (i + 0.5) / steps);
    return 2.0 * pi * sum_cd * 2.0 / steps;
}

}  // namespace

TEST_CASE("a beam sends out the flux behind its gel, whatever its width and spill") {
    for (const double beam_deg : {8.0, 30.0, 60.0, 120.0, 170.0, 180.0, 360.0})
        for (const double spill : {0.0, 0.02, 0.5}) {
            Lamp lamp;
            lamp.flux_lm = 1500.0;
            lamp.gel.transmission = 0.71;
            lamp.beam_deg = beam_deg;
            lamp.spill = spill;
            CHECK_RELATIVE(flux_lm(Beam(lamp)), 1500.0 * 0.71, 1e-5);
        }
}

TEST_CASE("half the peak at the beam's edge, the spill alone behind the lamp") {
    Lamp lamp;
    lamp.beam_deg = 60.0;
    lamp.spill = 0.02;
    const Beam beam(lamp);
    const double spill_cd = 0.02 * lamp.flux_lm / (4.0 * pi);
    CHECK_RELATIVE(beam.even_cd(), spill_cd, 1e-12);
    CHECK_RELATIVE(beam.intensity_cd(1.0), beam.peak_cd() + spill_cd, 1e-12);
    CHECK_RELATIVE(beam.intensity_cd(std::cos(radians(30.0))), 0.5 * beam.peak_cd() + spill_cd,
                   1e-12);
    CHECK_RELATIVE(beam.intensity_cd(0.0), spill_cd, 1e-12);
    CHECK_RELATIVE(beam.intensity_cd(-0.9), spill_cd, 1e-12);
    // A cosine a rounding above 1 is 1.
    CHECK(beam.intensity_cd(1.0 + 1e-12) == beam.intensity_cd(1.0));
}

TEST_CASE("a bare lamp is alike all round") {
    Lamp lamp;
    lamp.beam_deg = 360.0;
    lamp.spill = 0.3;
    const Beam beam(lamp);
    for (const double cosine : {-1.0, -0.3, 0.0, 0.4, 1.0})
        CHECK_RELATIVE(beam.intensity_cd(cosine), lamp.flux_lm / (4.0 * pi), 1e-12);
}

TEST_CASE("a lamp's colour is its gel's temperature, at luminance 1 and nowhere below zero") {
    Lamp lamp;
    lamp.temperature_k = 5800.0;
    lamp.gel.shift_mired = 109.0;
    CHECK_WITHIN(lamp_colour(lamp), planckian_rgb(shifted_temperature_k(5800.0, 109.0)), 1e-12);
    lamp.temperature_k = 1667.0;
    lamp.gel.shift_mired = 0.0;
    CHECK(planckian_rgb(1667.0).b < 0.0);
    const Rgb deep = lamp_colour(lamp);
    CHECK(deep.b == 0.0);
    CHECK_WITHIN(luminance(deep), 1.0, 1e-12);
}
