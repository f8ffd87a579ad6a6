// The course of a carried lamp's trail over the frame, where the film has light of it.
#pragma once

#include <cstddef>
#include <functional>
#include <span>
#include <vector>

#include "scene/shoot/lit_lamp.h"

namespace lampflight {

/// A place of a course, in the picture's pixels.
struct CoursePlace {
    Vec2 px;
    Vec2 along;  ///< unit
    std::size_t run;
    std::size_t from_start, to_end;  ///< how many places of its run lie before it and after it
};

/// Runs of places, half a pixel apart, each without a break while the lamp burns, is in the frame
/// and leaves light.
class TrailCourse {
public:
    /// `light` is what the trail leaves at a place. Less than ten stops under its brightest is
    /// none: there the lamp is hidden or turned away.
    TrailCourse(const Camera& camera, const LitLamp& lit,
                const std::function<double(const Vec2& px)>& light);

    const std::vector<CoursePlace>& places() const { return places_; }

    /// Whether the course runs on for so far to either side of a place, without turning back.
    bool runs_on(std::size_t at, double way_px) const;

    /// Whether no other part of the course comes into a cut that reaches so far to both sides of a
    /// place, or within half a width of it. Laps over one another on one line are one.
    bool is_alone(std::size_t at, double reach_px, double width_px) const;

private:
    void add_run(std::span<const Vec2> run);
    bool on_one_line(std::size_t at, const CoursePlace& other) const;

    std::vector<CoursePlace> places_;
    std::vector<std::size_t> by_x_;  ///< places from left to right
    std::size_t runs_ = 0;
};

}  // namespace lampflight
