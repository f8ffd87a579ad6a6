#include "scene/planning/dial.h"

#include <algorithm>
#include <cmath>

#include "scene/basics/angle.h"
#include "scene/planning/closure.h"
#include "scene/shoot/path_times.h"

namespace lampflight {
namespace {

double tenths(double value) {
    return std::round(10.0 * value) / 10.0;
}

/// What the flight plans and the dial has to meet.
class Dial {
public:
    Dial(const Flight& flight, const FlightPath& path, double shutter_s)
        : flight_(flight),
          shutter_s_(shutter_s),
          turns_(path.flown_turns(shutter_s) - path.flown_turns(0.0)) {
        const PathTimes times = path_times(path, shutter_s);
        open_s_ = std::max(0.0, times.to_s - times.from_s);
        opens_s_ = -times.begins_s;
        flight_.radius_m = std::max(1.0, std::round(flight.radius_m));
        flight_.pace = Pace::given;
        flight_.lap_s.reset();
    }

    double radius_m() const { return flight_.radius_m; }

    /// The nearest speed that the dial and the drone know.
    double known_speed_m_s(double speed_m_s) const {
        const double fastest_m_s = flight_.limits.speed_m_s
                                       ? std::floor(10.0 * *flight_.limits.speed_m_s + 1e-6) / 10.0
                                       : speed_m_s + 1.0;
        return std::max(0.1, std::min(tenths(speed_m_s), fastest_m_s));
    }

    FlightPath path_at(double speed_m_s) {
        flight_.speed_m_s = speed_m_s;
        return FlightPath(flight_, shutter_s_);
    }

    /// Degrees past (plus) or short of (minus) the whole turns that are planned.
    double closure_deg(double speed_m_s) {
        const FlightPath path = path_at(speed_m_s);
        const double opens_s = path_times(path, shutter_s_).begins_s + opens_s_;
        const double turns = flight_.limits.given() ? path.flown_turns(opens_s + shutter_s_) -
                                                          path.flown_turns(opens_s)
                                                    : open_s_ / path.lap_s();
        return 360.0 * (turns - whole_turns(turns_));
    }

    double closure_m(double closed_deg) const {
        return flight_.radius_m * radians(std::abs(closed_deg));
    }

    /// Of the speeds about the one that closes exactly without limits, the slowest that closes
    /// best: within limits a flight needs a little more.
    double best_speed_m_s() {
        const double exact_m_s = whole_turns(turns_) * 2.0 * pi * flight_.radius_m / open_s_;
        const int beyond = flight_.limits.given() ? 12 : 1;
        double best_m_s = known_speed_m_s(exact_m_s);
        double least_deg = std::abs(closure_deg(best_m_s));
        for (int tenth = 1; tenth <= beyond; ++tenth) {
            const double speed_m_s = known_speed_m_s(exact_m_s + 0.1 * tenth);
            const double apart_deg = std::abs(closure_deg(speed_m_s));
            if (apart_deg >= least_deg - 1e-6) continue;
            least_deg = apart_deg;
            best_m_s = speed_m_s;
        }
        return best_m_s;
    }

    bool flies() const { return open_s_ > 0.0; }

private:
    Flight flight_;
    double shutter_s_;
    double turns_;          ///< planned, while the shutter is open
    double open_s_ = 0.0;   ///< in the air while the shutter is open
    double opens_s_ = 0.0;  ///< when the shutter opens, from the flight's beginning
};

}  // namespace

std::optional<DialFigures> dial_figures(const Flight& flight, const FlightPath& path,
                                        double shutter_s) {
    const bool round = closes(flight.shape) || flight.shape == FlightShape::helix;
    // Within limits most of a flight is flown at its top speed.
    const double speed_m_s = flight.limits.given() ? path.top_speed_m_s() : path.speed_m_s();
    Dial dial(flight, path, shutter_s);
    if (!round || !dial.flies() || !(speed_m_s > 0.0)) return std::nullopt;
    DialFigures figures{};
    figures.radius_m = dial.radius_m();
    figures.speed_m_s = dial.known_speed_m_s(speed_m_s);
    figures.lap_s = dial.path_at(figures.speed_m_s).lap_s();
    figures.radius_off_m = figures.radius_m - flight.radius_m;
    figures.trail_stops = std::log2(speed_m_s / figures.speed_m_s);
    if (!closes(flight.shape) || flight.turns < 1.0) return figures;
    figures.closure_deg = dial.closure_deg(figures.speed_m_s);
    figures.closure_m = dial.closure_m(*figures.closure_deg);
    figures.best_speed_m_s = dial.best_speed_m_s();
    figures.best_closure_deg = dial.closure_deg(*figures.best_speed_m_s);
    figures.best_closure_m = dial.closure_m(*figures.best_closure_deg);
    return figures;
}

}  // namespace lampflight
