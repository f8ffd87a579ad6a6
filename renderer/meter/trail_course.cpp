#include "renderer/meter/trail_course.h"

#include <algorithm>
#include <cmath>
#include <optional>

namespace lampflight {
namespace {

constexpr double step_px = 0.5;
constexpr double instants_in_all = 4096.0;
constexpr double fewest_instants = 16.0;  // of each burning
constexpr double turned_away = 0x1p-10;
constexpr double straight_share = 0.75;  // of the way along a course that its chord must be
constexpr double lap_sine = 0.1;         // of the angle between laps over one another

using CourseRun = std::vector<Vec2>;

/// Gathers places into runs, evenly spaced.
class Pacer {
public:
    explicit Pacer(std::vector<CourseRun>& runs) : runs_(runs) {}

    void end_run() { last_.reset(); }

    void go_to(const Vec2& place_px) {
        if (!last_) {
            runs_.push_back({place_px});
            last_ = place_px;
            left_px_ = step_px;
            return;
        }
        double way_px = glm::distance(*last_, place_px);
        while (way_px >= left_px_) {
            *last_ += left_px_ / way_px * (place_px - *last_);
            runs_.back().push_back(*last_);
            way_px = glm::distance(*last_, place_px);
            left_px_ = step_px;
        }
        left_px_ -= way_px;
        last_ = place_px;
    }

private:
    std::vector<CourseRun>& runs_;
    std::optional<Vec2> last_;
    double left_px_ = 0.0;  ///< to the next place
};

/// Runs of a lamp's course while it burns and is in the frame.
std::vector<CourseRun> course_runs(const Camera& camera, const LitLamp& lit) {
    const Projection projection(camera);
    std::vector<CourseRun> runs;
    Pacer pacer(runs);
    for (const TimeWindow& window : lit.lit) {
        const double lasts_s = window.to_s - window.from_s;
        const int instants = static_cast<int>(
            std::max(fewest_instants, std::ceil(instants_in_all * lasts_s / lit.lit_s())));
        for (int i = 0; i <= instants; ++i) {
            const auto place_px =
                projection.film_px(lit.position_m(window.from_s + lasts_s * i / instants));
            if (place_px && in_frame(camera, *place_px))
                pacer.go_to(*place_px);
            else
                pacer.end_run();
        }
        pacer.end_run();
    }
    return runs;
}

double cross(const Vec2& one, const Vec2& other) {
    return one.x * other.y - one.y * other.x;
}

}  // namespace

TrailCourse::TrailCourse(const Camera& camera, const LitLamp& lit,
                         const std::function<double(const Vec2& px)>& light) {
    const std::vector<CourseRun> runs = course_runs(camera, lit);
    double brightest = 0.0;
    for (const CourseRun& run : runs)
        for (const Vec2& px : run) brightest = std::max(brightest, light(px));
    const auto shows = [&](const Vec2& px) { return light(px) > turned_away * brightest; };
    for (const CourseRun& run : runs)
        for (auto from = run.begin(); from != run.end();) {
            from = std::find_if(from, run.end(), shows);
            const auto end = std::find_if_not(from, run.end(), shows);
            add_run({from, end});
            from = end;
        }
    for (std::size_t i = 0; i < places_.size(); ++i) by_x_.push_back(i);
    std::ranges::sort(by_x_, {}, [&](std::size_t i) { return places_[i].px.x; });
}

void TrailCourse::add_run(std::span<const Vec2> run) {
    if (run.size() < 2) return;
    for (std::size_t i = 0; i < run.size(); ++i) {
        const std::size_t before = i < 2 ? 0 : i - 2;
        const std::size_t after = std::min(i + 2, run.size() - 1);
        places_.push_back(
            {run[i], glm::normalize(run[after] - run[before]), runs_, i, run.size() - 1 - i});
    }
    ++runs_;
}

bool TrailCourse::runs_on(std::size_t at, double way_px) const {
    const auto steps = static_cast<std::size_t>(std::ceil(way_px / step_px));
    const CoursePlace& place = places_[at];
    if (place.from_start < steps || place.to_end < steps) return false;
    const double chord_px = glm::distance(places_[at - steps].px, places_[at + steps].px);
    return chord_px >= straight_share * 2.0 * static_cast<double>(steps) * step_px;
}

bool TrailCourse::is_alone(std::size_t at, double reach_px, double width_px) const {
    const CoursePlace& place = places_[at];
    const double about_px = reach_px + width_px;
    const auto x_of = [&](std::size_t i) { return places_[i].px.x; };
    const auto first = std::ranges::lower_bound(by_x_, place.px.x - about_px, {}, x_of);
    const auto end = std::ranges::upper_bound(by_x_, place.px.x + about_px, {}, x_of);
    return std::none_of(first, end, [&](std::size_t i) {
        const CoursePlace& other = places_[i];
        const std::size_t between = i < at ? at - i : i - at;
        if (other.run == place.run && static_cast<double>(between) * step_px <= 2.0 * width_px)
            return false;
        const Vec2 way_px = other.px - place.px;
        return std::abs(glm::dot(place.along, way_px)) <= 0.5 * width_px &&
               std::abs(cross(place.along, way_px)) <= reach_px + 0.5 * width_px &&
               !on_one_line(at, other);
    });
}

bool TrailCourse::on_one_line(std::size_t at, const CoursePlace& other) const {
    const CoursePlace& place = places_[at];
    const auto steps = std::lround(glm::dot(place.along, other.px - place.px) / step_px);
    const auto way = static_cast<std::size_t>(std::abs(steps));
    if (way > (steps < 0 ? place.from_start : place.to_end)) return false;
    const CoursePlace& here = places_[steps < 0 ? at - way : at + way];
    return glm::distance(here.px, other.px) <= step_px &&
           std::abs(cross(here.along, other.along)) <= lap_sine;
}

}  // namespace lampflight
