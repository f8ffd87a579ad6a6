#include "scene/cautions/caution_kinds.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "scene/cautions/film_estimate.h"

namespace lampflight {
namespace {

// Common practice, no source.
constexpr double much_of_frame = 1.0 / 3.0;
constexpr double little_of_frame = 0.1;

/// The value below which a share of the values lie; there must be some.
double quantile(std::vector<double> values, double share) {
    const auto place = static_cast<std::ptrdiff_t>(share * static_cast<double>(values.size() - 1));
    std::ranges::nth_element(values, values.begin() + place);
    return values[static_cast<std::size_t>(place)];
}

/// A part of the frame that burns.
struct Burnt {
    std::vector<double> stops_over;
    std::size_t by_lamps = 0;  ///< cells that owe most of their light to them

    bool mostly_by_lamps() const { return 2 * by_lamps > stops_over.size(); }
    double share(std::size_t of) const {
        return static_cast<double>(stops_over.size()) / static_cast<double>(of);
    }
};

std::string what_burns(const Burnt& sky, const Burnt& ground, std::size_t cells) {
    if (ground.share(cells) < little_of_frame) return "the sky lies";
    const std::string soil = ground.mostly_by_lamps() ? "the lit ground" : "the ground";
    return sky.share(cells) < little_of_frame ? soil + " lies"
                                              : fmt::format("the sky and {} lie", soil);
}

/// What would bring it back: for the sky a later hour, for lamps weaker ones, for both exposure.
std::string remedy(const Burnt& sky, const Burnt& ground, std::size_t cells, double stops) {
    const std::string less = fmt::format("{:.0f} stop{}", stops, stops == 1.0 ? "" : "s");
    if (ground.share(cells) >= little_of_frame && ground.mostly_by_lamps() &&
        sky.share(cells) < little_of_frame)
        return fmt::format("Lamps {} weaker would bring it back, or as much less exposure.", less);
    return fmt::format("{} less exposure would bring it back, or a darker sky.", less);
}

}  // namespace

Findings exposure_cautions(const FlownTake& seen) {
    if (seen.shoot.place && opens_by_day(seen.shoot, seen.take)) return {};
    const std::vector<FilmCell> cells = film_estimate(seen);
    std::vector<double> all, burnt;
    Burnt sky, ground;
    for (const FilmCell& cell : cells) {
        all.push_back(cell.stops_over);
        if (cell.stops_over <= 0.0) continue;
        burnt.push_back(cell.stops_over);
        Burnt& part = cell.is_ground ? ground : sky;
        part.stops_over.push_back(cell.stops_over);
        if (cell.lamp_share > 0.5) ++part.by_lamps;
    }
    const double share = static_cast<double>(burnt.size()) / static_cast<double>(cells.size());
    if (share < much_of_frame) return {};
    const double back_stops = std::ceil(quantile(all, 1.0 - little_of_frame));
    return {
        {"exposure",
         CautionLevel::care,
         fmt::format("In take \"{}\" about {:.0f} % of the frame burns out: {} {:.1f} stops "
                     "over clipping at the median, by an estimate of even sky and open "
                     "ground. {}",
                     seen.take.name, 100.0 * share, what_burns(sky, ground, cells.size()),
                     quantile(burnt, 0.5), remedy(sky, ground, cells.size(), back_stops)),
         {what_burns(sky, ground, cells.size()), "take", seen.take.name, seen.take.name, share}}};
}

}  // namespace lampflight
