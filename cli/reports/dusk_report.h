// What `dusk` tells of an evening, and how: as a table, as JSON.
#pragma once

#include <string>
#include <vector>

#include "scene/planning/dusk.h"

namespace lampflight {

struct DuskReport {
    std::string title;
    Place place;
    Dusk dusk;
    bool shows_sky;                      ///< false: the frame ends below the horizon
    std::size_t domes;                   ///< skies that were worked out
    std::vector<glm::vec3> sky_colours;  ///< one a minute: as developed, linear, 0 to 1
};

/// Something at its moment.
struct DuskEvent {
    enum class Kind { sun, moon, take, window, alike };
    double unix_s;
    Kind kind;
    std::string words;  ///< "sunset", "end of civil dusk", "moonrise", a take's name
    std::string code;   ///< the same in JSON: "sunset", "sun -6 deg", "moonrise"
};

/// Of sun, moon and takes in the time that is told, in order.
std::vector<DuskEvent> events_of(const Dusk& dusk);

/// When the sky is as wanted, or how far from it, and what is unusual about the night: sentences
/// without a full stop.
std::vector<std::string> dusk_sentences(const DuskReport& report);

/// Which minutes a table tells.
enum class DuskRows {
    none,
    that_matter,  ///< around sunset or sunrise, the deepening dusk, takes and windows
    all,
};

/// Sentences, takes, and a row for every `every_min` minutes of the clock, in lines of at most
/// `width` characters.
std::string dusk_text(const DuskReport& report, DuskRows rows, int every_min, std::size_t width);

/// One JSON object, ending in a newline. Names are a contract: added to, never renamed.
std::string dusk_json(const DuskReport& report);

}  // namespace lampflight
