#include "scene/cautions/caution_kinds.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>

#include <fmt/format.h>

#include "scene/camera/trail_width.h"

namespace lampflight {
namespace {

constexpr double steps = 4096.0;      // of all the time that a lamp burns
constexpr double fewest_steps = 4.0;  // of each burning
constexpr int fine_steps = 64;        // of one of those that comes near

/// When, and how near, a lamp is so close that it is not imaged.
struct Closeness {
    double first_s = 0.0;
    double lasts_s = 0.0;
    std::optional<double> nearest_m{};  ///< from the lens

    void add(double time_s, double step_s, double distance_m) {
        if (!nearest_m) first_s = time_s;
        lasts_s += step_s;
        nearest_m = std::min(nearest_m.value_or(distance_m), distance_m);
    }
};

class LensOfTake {
public:
    explicit LensOfTake(const FlownTake& seen)
        : camera_(seen.shoot.camera),
          f_number_(seen.settings.f_number),
          projection_(seen.shoot.camera) {}

    Closeness closeness(const LitLamp& lit) const {
        Closeness close;
        for (const TimeWindow& window : lit.lit) {
            if (lit.flies())
                add_flown(close, lit, window);
            else
                add(close, lit, window.from_s, window.to_s - window.from_s);
        }
        return close;
    }

private:
    double distance_m(const Vec3& place_m) const {
        return glm::distance(place_m, projection_.position_m());
    }

    /// Whether a lamp there touches the lens, or would throw its blurred image into the frame from
    /// nearer than it is drawn.
    bool is_in_lens(const LitLamp& lit, const Vec3& place_m) const {
        if (distance_m(place_m) < nearest_imaged_m) return true;
        const double depth_m = projection_.depth_m(place_m);
        const auto film_px = projection_.film_px(place_m);
        if (!film_px || depth_m >= nearest_imaged_m) return false;
        const double radius_px =
            0.5 * trail_width_mm(camera_, f_number_, lit.lamp->face_mm / 1000.0, depth_m) /
            pixel_pitch_mm(camera_).x;
        const Vec2 in_frame = glm::clamp(*film_px, Vec2(0.0), Vec2(camera_.pixels));
        return glm::distance(*film_px, in_frame) < radius_px;
    }

    void add(Closeness& close, const LitLamp& lit, double time_s, double step_s) const {
        const Vec3 place_m = lit.position_m(time_s);
        if (is_in_lens(lit, place_m)) close.add(time_s, step_s, distance_m(place_m));
    }

    void add_flown(Closeness& close, const LitLamp& lit, const TimeWindow& window) const {
        const double lasts_s = window.to_s - window.from_s;
        const double count = std::ceil(std::max(fewest_steps, steps * lasts_s / lit.lit_s()));
        const double step_s = lasts_s / count;
        for (double i = 0.0; i < count; ++i) {
            const double from_s = window.from_s + step_s * i;
            const Vec3 from_m = lit.position_m(from_s), to_m = lit.position_m(from_s + step_s);
            // Twice the chord, as the way between may bend.
            const double reach_m = 2.0 * glm::distance(from_m, to_m) + nearest_imaged_m;
            const double depth_m = std::min(projection_.depth_m(from_m), projection_.depth_m(to_m));
            if (depth_m > reach_m || (depth_m < 0.0 && distance_m(from_m) > reach_m)) continue;
            for (int k = 0; k < fine_steps; ++k)
                add(close, lit, from_s + step_s * (k + 0.5) / fine_steps, step_s / fine_steps);
        }
    }

    const Camera& camera_;
    double f_number_;
    Projection projection_;
};

}  // namespace

Findings lens_cautions(const FlownTake& seen) {
    Findings list;
    const LensOfTake lens(seen);
    for (const LitLamp& lit : seen.lit) {
        const Closeness close = lens.closeness(lit);
        if (!close.nearest_m) continue;
        const std::string when = lit.flies() ? fmt::format("from {:.1f} s on, for {:.2g} s in all",
                                                           close.first_s, close.lasts_s)
                                             : fmt::format("for {:.3g} s", close.lasts_s);
        list.push_back(
            {"lens",
             CautionLevel::care,
             fmt::format("In take \"{}\" lamp \"{}\" is in the lens {}, {:.0f} mm from its pupil. "
                         "A lamp less than {:.0f} mm before it is not drawn: the picture lacks the "
                         "veil of light that it would lay on the frame. Move the lamp or the "
                         "camera.",
                         seen.take.name, lit.lamp->name, when, 1000.0 * *close.nearest_m,
                         1000.0 * nearest_imaged_m),
             {"in lens", "lamp", lit.lamp->name, seen.take.name, -*close.nearest_m}});
    }
    return list;
}

}  // namespace lampflight
