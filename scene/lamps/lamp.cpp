#include "scene/lamps/lamp.h"

#include <algorithm>
#include <cmath>

#include "scene/basics/angle.h"
#include "scene/basics/colour.h"
#include "scene/basics/spectral_locus.h"

namespace lampflight {

Beam::Beam(const Lamp& lamp) {
    const double flux_lm = lamp.flux_lm * lamp.gel.transmission;
    if (lamp.beam_deg >= 180.0) {
        even_cd_ = flux_lm / (4.0 * pi);
        return;
    }
    exponent_ = std::log(0.5) / std::log(std::cos(radians(lamp.beam_deg) / 2.0));
    peak_cd_ = (1.0 - lamp.spill) * flux_lm * (exponent_ + 1.0) / (2.0 * pi);
    even_cd_ = lamp.spill * flux_lm / (4.0 * pi);
}

double Beam::intensity_cd(double cos_to_aim) const {
    if (cos_to_aim <= 0.0 || peak_cd_ == 0.0) return even_cd_;
    return even_cd_ + peak_cd_ * std::pow(std::min(cos_to_aim, 1.0), exponent_);
}

Vec2 lamp_xy(const Lamp& lamp) {
    if (lamp.chromaticity_xy) return *lamp.chromaticity_xy;
    if (lamp.dominant_nm) return dominant_xy(*lamp.dominant_nm, lamp.purity);
    return planckian_xy(shifted_temperature_k(lamp.temperature_k, lamp.gel.shift_mired));
}

Rgb lamp_colour(const Lamp& lamp) {
    const Rgb colour = glm::max(rgb_of_xy(lamp_xy(lamp)), Rgb(0.0));
    return colour / luminance(colour);
}

}  // namespace lampflight
