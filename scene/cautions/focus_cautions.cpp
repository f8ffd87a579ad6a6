#include "scene/cautions/caution_kinds.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>

#include <fmt/format.h>

#include "scene/camera/depth_of_field.h"
#include "scene/subjects/box.h"

namespace lampflight {
namespace {

bool is_seen(const Camera& camera, const Projection& projection, const Vec3& place_m) {
    const auto film_px = projection.film_px(place_m);
    return film_px && in_frame(camera, *film_px);
}

/// One take's focus.
class FocusOfTake {
public:
    explicit FocusOfTake(const FlownTake& seen) : seen_(seen), projection_(seen.shoot.camera) {}

    void add_subjects(Findings& list) const {
        for (const std::size_t subject : seen_.present) {
            const Vec3 middle_m = box_of(seen_.shoot.meshes[subject]).middle_m();
            if (is_seen(seen_.shoot.camera, projection_, middle_m))
                add(list, fmt::format("\"{}\"", seen_.shoot.subjects[subject].name),
                    projection_.depth_m(middle_m),
                    {"subject", "subject", seen_.shoot.subjects[subject].name, seen_.take.name});
        }
    }

    void add_flights(Findings& list) const {
        for (const FlownFlight& flown : seen_.flights)
            if (const auto depth_m = blurriest_m(flown))
                add(list, fmt::format("the trail of flight \"{}\"", flown.flight->name), *depth_m,
                    seen_.alike(flown, "trail"));
    }

private:
    double circle_mm(double depth_m) const {
        return std::abs(blur_circle_mm(seen_.shoot.camera, seen_.settings.f_number, depth_m));
    }

    /// Depth of the most blurred place of a flight within the frame.
    std::optional<double> blurriest_m(const FlownFlight& flown) const {
        std::optional<double> worst_m;
        constexpr int steps = 128;
        for (int i = 0; i <= steps; ++i) {
            const Vec3 place_m = flown.path.position_m(flown.time_s(1.0 * i / steps));
            if (!is_seen(seen_.shoot.camera, projection_, place_m)) continue;
            const double depth_m = projection_.depth_m(place_m);
            if (!worst_m || circle_mm(depth_m) > circle_mm(*worst_m)) worst_m = depth_m;
        }
        return worst_m;
    }

    void add(Findings& list, const std::string& what, double depth_m, Alike alike) const {
        const Camera& camera = seen_.shoot.camera;
        const double limit_mm = sharp_circle_mm(camera);
        const double mm = circle_mm(depth_m);
        if (mm <= limit_mm) return;
        const SharpRange sharp = sharp_range(camera, seen_.settings.f_number, limit_mm);
        const std::string to = std::isinf(sharp.far_m) ? std::string("infinity")
                                                       : fmt::format("{:.1f} m", sharp.far_m);
        alike.worse = mm;
        list.push_back(
            {"focus", CautionLevel::care,
             fmt::format(
                 "In take \"{}\" {} is out of focus at a depth of {:.1f} m: a point is {:.2f} "
                 "mm wide on the film, {:.0f} pixels. At f/{:.3g} focused at {:.3g} m all "
                 "from {:.1f} m to {} looks sharp.",
                 seen_.take.name, what, depth_m, mm, mm / pixel_pitch_mm(camera).x,
                 seen_.settings.f_number, camera.focus_m, sharp.near_m, to),
             alike});
    }

    const FlownTake& seen_;
    Projection projection_;
};

}  // namespace

Findings focus_cautions(const FlownTake& seen) {
    Findings list;
    const FocusOfTake focus(seen);
    focus.add_subjects(list);
    focus.add_flights(list);
    return list;
}

}  // namespace lampflight
