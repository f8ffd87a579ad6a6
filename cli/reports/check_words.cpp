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
