// Speed profile of a course: at even speeds, or from rest to rest within a drone's limits.
#pragma once

#include <cstddef>
#include <functional>
#include <vector>

#include "scene/flights/course.h"
#include "scene/flights/phase_plane.h"

namespace lampflight {

/// Places, times and speeds; the acceleration along the course is constant between two of them.
struct SpeedProfile {
    std::vector<double> arc_m{0.0};
    std::vector<double> time_s{0.0};
    std::vector<double> speed_m_s{0.0};
    double top_acceleration_m_s2 = 0.0;  ///< along and across, together

    double duration_s() const { return time_s.back(); }
    double top_speed_m_s() const;

    /// At a time, held to the flight's beginning and end.
    double arc_at_m(double time_s) const;
    double speed_at_m_s(double time_s) const;
    double acceleration_at_m_s2(double time_s) const;  ///< along the course; of the time after it

    /// When an arc length is reached, held to the course's ends.
    double time_at_s(double arc_m) const;

    void add(double arc, double time, double speed);
    void reserve(std::size_t nodes);
    void append(const SpeedProfile& next);  ///< whose start is this one's end

private:
    struct Place {
        std::size_t index;
        double since_s;
        double acceleration_m_s2;
    };
    Place place_at(double time_s) const;
};

/// In every cell at the cruise or the cell's own most; stops only take their time.
SpeedProfile even_speed(const Course& course, double cruise_m_s);

/// The fastest from rest to rest, or from end speed to end speed, not faster than `cruise_m_s`;
/// `limits` must be given, and of them those of speed and acceleration are looked at here.
SpeedProfile limited_speed(const Course& course, const SpeedLimits& limits, double cruise_m_s,
                           EndSpeeds ends = {});
SpeedProfile limited_speed(const Course& course, const SpeedLimits& limits, double cruise_m_s,
                           EndSpeeds ends, PhaseRoom& room);

/// How long that takes, in seconds.
double limited_duration_s(const Course& course, const SpeedLimits& limits, double cruise_m_s,
                          EndSpeeds ends, PhaseRoom& room);

/// A speed that a drone cannot exceed on a course.
double most_cruise_m_s(const Course& course, const SpeedLimits& limits, EndSpeeds ends = {});

/// The slowest cruise at which `duration_of` gives a duration in seconds, between `slow_m_s`, which
/// is too slow, and `fast_m_s`; that where it takes longer.
double cruise_of_duration(const std::function<double(double)>& duration_of, double slow_m_s,
                          double fast_m_s, double duration_s);

/// Makes the moving parts of a profile slower, or faster, so that it lasts a time.
void stretch_to(SpeedProfile& profile, double duration_s);

}  // namespace lampflight
