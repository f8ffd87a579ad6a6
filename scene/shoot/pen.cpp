#include "scene/shoot/pen.h"

#include <algorithm>

#include "scene/basics/names.h"

namespace lampflight {
namespace {

/// A stretch of the scene that speaks of this lamp, by the path's length.
struct Spoken {
    double from_m, to_m;
    const PenStretch* stretch;
};

std::vector<Spoken> spoken_of(const Shoot& shoot, const FlownFlight& flown,
                              const std::string& lamp) {
    const double from_m = flown.path.shape_from_m();
    const double length_m = flown.path.shape_to_m() - from_m;
    std::vector<Spoken> all;
    for (const PenStretch& stretch : shoot.stretches)
        if (stretch.flight == flown.flight->name &&
            (!stretch.lamps || contains(*stretch.lamps, lamp)))
            all.push_back({from_m + length_m * stretch.part[0],
                           from_m + length_m * stretch.part[1], &stretch});
    return all;
}

/// What holds at a place: of stretches over one another, what the last of them says.
PathStretch said_at(const std::vector<Spoken>& spoken, const PathStretch& drawn, double arc_m) {
    PathStretch says = drawn;
    for (const Spoken& one : spoken) {
        if (arc_m < one.from_m || arc_m >= one.to_m) continue;
        says.lit = says.lit && one.stretch->lit;
        if (one.stretch->aim) says.aim = one.stretch->aim;
    }
    return says;
}

}  // namespace

PenTimes pen_times(const Shoot& shoot, const FlownFlight& flown, const std::string& lamp) {
    const FlightPath& path = flown.path;
    const std::vector<Spoken> spoken = spoken_of(shoot, flown, lamp);
    PenTimes times;
    const auto add = [&](double from_m, double to_m, const PathStretch& says) {
        // A flight without length, or one that ends standing, is lit to its end.
        const double from_s = from_m <= 0.0 ? path.begins_s() : path.time_at_s(from_m);
        const bool last = to_m >= path.stretches().back().to_m;
        const double to_s = std::min(last ? path.ends_s() : path.time_at_s(to_m), flown.until_s());
        if (to_s <= from_s) return;
        if (times.aims.empty() || times.aims.back().aim != says.aim)
            times.aims.push_back({from_s, says.aim});
        if (!says.lit) return;
        if (!times.lit.empty() && times.lit.back().to_s == from_s)
            times.lit.back().to_s = to_s;
        else
            times.lit.push_back({from_s, to_s});
    };
    for (const PathStretch& drawn : path.stretches()) {
        std::vector<double> edges{drawn.from_m};
        for (const Spoken& one : spoken)
            for (const double edge_m : {one.from_m, one.to_m})
                if (edge_m > drawn.from_m && edge_m < drawn.to_m) edges.push_back(edge_m);
        edges.push_back(drawn.to_m);
        std::ranges::sort(edges);
        for (std::size_t i = 0; i + 1 < edges.size(); ++i) {
            if (edges[i + 1] <= edges[i] && drawn.to_m > drawn.from_m) continue;
            add(edges[i], edges[i + 1],
                said_at(spoken, drawn, 0.5 * (edges[i] + edges[i + 1])));
        }
    }
    return times;
}

}  // namespace lampflight
