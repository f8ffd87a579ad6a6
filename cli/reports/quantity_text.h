// Quantities in words, as all tables, sheets and sentences write them.
#pragma once

#include <string>

#include "scene/camera/exposure.h"
#include "scene/shoot/layer_id.h"

namespace lampflight {

/// A number with a fixed count of decimals, "-" where it is not finite; never "-0.0".
std::string decimal_text(double value, int decimals);

/// Three digits of a positive or negative number, without an exponent where it can be helped.
std::string digits_text(double value);

/// A share as a percentage: "12 %", "0.4 %", "less than 0.1 %".
std::string percent_text(double share);

/// Stops with their sign: "+1.3", "-0.5", "none" for no light at all.
std::string stops_text(double stops);

/// A time as a camera's dial has it: "1/310 s", "0.5 s", "12.5 s"; beyond the dial "6 min 40 s".
std::string shutter_text(double shutter_s);

/// The same to about a tenth, as precise as a wish can be: "1/62 s", "23 s", "3 min 30 s", "14
/// min".
std::string about_shutter_text(double shutter_s);

/// "25 s at f/8, ISO 640".
std::string settings_text(const ExposureSettings& settings);

/// Signal to noise as it looks, with the ratio: "clean (85)", "visible (22)", "rough (6.1)". The
/// bounds are those by which ISO 12232 rates noise: 40 excellent, 10 acceptable (from memory).
std::string noise_text(double snr);

/// "warm on surfaces", "warm trail", "the sky itself", "stars".
std::string layer_words(const LayerId& layer);

}  // namespace lampflight
