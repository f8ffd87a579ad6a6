// Lamps: luminous flux, beam, colour temperature, gel, pulse and aim.
#pragma once

#include <optional>
#include <string>

#include "scene/basics/time_windows.h"
#include "scene/basics/vector.h"
#include "scene/lamps/aim.h"

namespace lampflight {

struct Gel {
    double shift_mired = 0.0;
    double transmission = 1.0;
};

/// A beacon's beat: flashes of `on_s` at `first_s` and every 60 / `per_minute` seconds after it.
struct Pulse {
    std::optional<double> per_minute{};  ///< nothing for a lamp that burns steadily
    std::optional<double> on_s{};
    double first_s = 0.0;  ///< from the shutter's opening

    double period_s() const { return 60.0 / *per_minute; }
};

/// How a lamp sits on its drone: held level, or tied to the body, with which it turns and leans.
enum class Mount { level, fixed };

struct Lamp {
    std::string name;
    double flux_lm = 1500.0;
    double beam_deg = 60.0;  ///< full width at half maximum; 360 is alike all round
    double temperature_k = 5800.0;
    /// Coloured light, instead of a temperature: a dominant wavelength with its excitation purity
    /// (CIE 15, from equal-energy white), or CIE 1931 xy.
    std::optional<double> dominant_nm;
    double purity = 1.0;
    std::optional<Vec2> chromaticity_xy;
    Gel gel;
    double face_mm = 38.0;
    double spill = 0.02;  ///< share of the flux sent evenly all round, outside the beam as well
    Aim aim = AimWord::down;
    std::optional<Vec3> position_m;    ///< a lamp with a position stands there and is not carried
    Vec3 offset_m{0.0};   ///< on its drone: to its right, ahead, up
    double hang_m = 0.0;  ///< a strip of this length hangs plumb from there; 0 for a lamp
    Mount mount = Mount::level;
    std::optional<TimeWindows> lit_s;  ///< when it is switched on; always without
    Pulse pulse;
    bool own_light = false;  ///< of its drone, which burns on all its ways; never read from a file
};

/// Luminous intensity of a lamp by the cosine of the angle w to its aim:
/// I(w) = (1 - spill) I0 cos^m w + spill flux / 4 pi with m = ln 0.5 / ln cos(b/2) and
/// I0 = flux (m + 1) / 2 pi. The flux is the one behind the gel. There is no lobe behind the lamp
/// (cos w <= 0); a beam of 180 degrees or wider has none at all and sends its flux evenly.
class Beam {
public:
    explicit Beam(const Lamp& lamp);

    double intensity_cd(double cos_to_aim) const;
    double peak_cd() const { return peak_cd_; }
    double exponent() const { return exponent_; }
    double even_cd() const { return even_cd_; }

private:
    double peak_cd_ = 0.0;  ///< of the cosine lobe alone
    double exponent_ = 0.0;
    double even_cd_ = 0.0;  ///< sent all round
};

/// CIE 1931 xy of the lamp's light: as stated, by its dominant wavelength, or by its temperature
/// behind its gel.
Vec2 lamp_xy(const Lamp& lamp);

/// Linear Rec. 709 of the lamp's light behind its gel, at luminance 1, no component below zero.
Rgb lamp_colour(const Lamp& lamp);

}  // namespace lampflight
