#include <array>

#include <fmt/format.h>

#include "cli/reports/check_report.h"

namespace lampflight {

const char* passing_word(Passing passing) {
    switch (passing) {
        case Passing::stays_above:
            return "stays above";
        case Passing::stays_below:
            return "stays below";
        case Passing::climbs_through:
            return "climbs through";
        case Passing::sinks_through:
            break;
    }
    return "sinks through";
}

std::string sun_passage_words(const SunPassage& passage) {
    // The twilights of almanacs.
    constexpr std::array<std::pair<double, const char*>, 3> twilights{
        {{-6.0, "civil"}, {-12.0, "nautical"}, {-18.0, "astronomical"}}};
    const bool sinks = passage.passing == Passing::sinks_through;
    if (passage.altitude_deg == sunset_altitude_deg) return sinks ? "sunset" : "sunrise";
    for (const auto& [altitude_deg, kind] : twilights)
        if (passage.altitude_deg == altitude_deg)
            return fmt::format("{} of {} {}", sinks ? "end" : "start", kind,
                               sinks ? "dusk" : "dawn");
    return fmt::format("sun {} deg", passage.altitude_deg);
}

const char* legibility_word(Legibility legibility) {
    switch (legibility) {
        case Legibility::legible:
            return "legible";
        case Legibility::coarse:
            return "coarse";
        case Legibility::blot:
            break;
    }
    return "a blot";
}

const char* level_word(CautionLevel level) {
    switch (level) {
        case CautionLevel::danger:
            return "danger";
        case CautionLevel::care:
            return "care";
        case CautionLevel::note:
            break;
    }
    return "note";
}

}  // namespace lampflight
