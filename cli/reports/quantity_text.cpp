#include "cli/reports/quantity_text.h"

#include <cmath>

#include <fmt/format.h>

namespace lampflight {
namespace {

/// Under this a dial writes fractions.
constexpr double longest_fraction_s = 0.3;

// ISO 12232: signal to noise of the noise-based speeds.
constexpr double excellent_snr = 40.0;
constexpr double acceptable_snr = 10.0;

constexpr double minute_s = 60.0, hour_s = 3600.0;
constexpr double longest_in_seconds_s = 2.0 * minute_s;
constexpr double longest_in_minutes_s = 2.0 * hour_s;

/// To so many digits.
double rounded(double value, int digits) {
    const double step = std::pow(10.0, std::floor(std::log10(value)) - (digits - 1));
    return step * std::round(value / step);
}

std::string dial_text(double shutter_s, int digits) {
    if (!std::isfinite(shutter_s)) return "-";
    if (shutter_s < longest_fraction_s)
        return shutter_s > 1e-6 ? fmt::format("1/{:.0f} s", rounded(1.0 / shutter_s, digits))
                                : "under 1/1000000 s";
    if (shutter_s < longest_in_seconds_s) return fmt::format("{:.{}g} s", shutter_s, digits);
    if (shutter_s >= longest_in_minutes_s) return digits_text(shutter_s / hour_s) + " h";
    const long whole_s = std::lround(shutter_s);
    const std::string minutes = fmt::format("{} min", whole_s / 60);
    return whole_s % 60 == 0 ? minutes : fmt::format("{} {} s", minutes, whole_s % 60);
}

std::string source_words(const LayerId& layer) {
    switch (layer.source) {
        case LightSource::lamp:
            return layer.lamp;
        case LightSource::sky:
            return "sky";
        case LightSource::sun:
            return "sun";
        case LightSource::moon:
            return "moon";
        case LightSource::stars:
            break;
    }
    return "stars";
}

}  // namespace

std::string decimal_text(double value, int decimals) {
    if (!std::isfinite(value)) return "-";
    std::string text = fmt::format("{:.{}f}", value, decimals);
    const bool is_zero = text.find_first_not_of("-0.") == std::string::npos;
    if (is_zero && text.front() == '-') text.erase(0, 1);
    return text;
}

std::string digits_text(double value) {
    if (!std::isfinite(value)) return "-";
    return std::abs(value) >= 1000.0 ? decimal_text(value, 0) : fmt::format("{:.3g}", value);
}

std::string percent_text(double share) {
    const double percent = share * 100.0;
    if (percent > 0.0 && percent < 0.05) return "less than 0.1 %";
    const bool small = percent > 0.0 && percent < 10.0;
    return fmt::format("{} %", decimal_text(percent, small ? 1 : 0));
}

std::string stops_text(double stops) {
    if (!std::isfinite(stops)) return "none";
    const std::string text = decimal_text(stops, 1);
    return text.front() == '-' || text == "0.0" ? text : "+" + text;
}

std::string shutter_text(double shutter_s) {
    return dial_text(shutter_s, 3);
}

std::string about_shutter_text(double shutter_s) {
    double even_s = shutter_s;
    if (shutter_s >= 10.0 * minute_s)
        even_s = minute_s * std::round(shutter_s / minute_s);
    else if (shutter_s >= longest_in_seconds_s)
        even_s = 10.0 * std::round(shutter_s / 10.0);
    return dial_text(even_s, shutter_s < 100.0 ? 2 : 3);
}

std::string settings_text(const ExposureSettings& settings) {
    return fmt::format("{} at f/{:.3g}, ISO {:.5g}", shutter_text(settings.shutter_s),
                       settings.f_number, settings.iso);
}

std::string noise_text(double snr) {
    if (!std::isfinite(snr)) return "-";
    const char* const look = snr >= excellent_snr    ? "clean"
                             : snr >= acceptable_snr ? "visible"
                                                     : "rough";
    return fmt::format("{} ({})", look, decimal_text(snr, snr < 9.95 ? 1 : 0));
}

std::string layer_words(const LayerId& layer) {
    const std::string source = source_words(layer);
    if (layer.source == LightSource::stars) return source;
    switch (layer.way) {
        case LightWay::surface:
            return source + " on surfaces";
        case LightWay::trail:
            return source + " trail";
        case LightWay::view:
            break;
    }
    return "the " + source + " itself";
}

}  // namespace lampflight
