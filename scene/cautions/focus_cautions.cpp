#include "scene/cautions/focus_cautions.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>

#include <fmt/format.h>

#include "scene/camera/depth_of_field.h"
#include "scene/cautions/clearance.h"
#include "scene/shoot/presence.h"

namespace lampflight {
namespace {

using Cautions = std::vector<Caution>;

bool is_seen(const Camera& camera, const Projection& projection, const Vec3& place_m) {
    const auto film_px = projection.film_px(place_m);
    return film_px && in_frame(camera, *film_px);
}

/// One take's focus.
class FocusOfTake {
public:
    FocusOfTake(const PlacedShoot& shoot, const Take& take)
        : shoot_(shoot),
          take_(take),
          settings_(settings_of(shoot, take)),
          projection_(shoot.camera) {}

    void add_subjects(Cautions& list) const {
        for (const std::size_t subject : present_subjects(shoot_, take_)) {
            const Vec3 middle_m = box_of(shoot_.meshes[subject]).middle_m();
            if (is_seen(shoot_.camera, projection_, middle_m))
                add(list, fmt::format("\"{}\"", shoot_.subjects[subject].name),
                    projection_.depth_m(middle_m));
        }
    }

    void add_flights(Cautions& list) const {
        for (const std::string& name : take_.flights)
            if (const Flight* flight = find_named(shoot_.flights, name))
                if (const auto depth_m = blurriest_m(FlightPath(*flight, settings_.shutter_s)))
                    add(list, fmt::format("the trail of flight \"{}\"", name), *depth_m);
    }

private:
    double circle_mm(double depth_m) const {
        return std::abs(blur_circle_mm(shoot_.camera, settings_.f_number, depth_m));
    }

    /// Depth of the most blurred place of a flight within the frame.
    std::optional<double> blurriest_m(const FlightPath& path) const {
        const double flown_s = std::min(settings_.shutter_s, path.duration_s());
        std::optional<double> worst_m;
        constexpr int steps = 128;
        for (int i = 0; i <= steps; ++i) {
            const Vec3 place_m = path.position_m(flown_s * i / steps);
            if (!is_seen(shoot_.camera, projection_, place_m)) continue;
            const double depth_m = projection_.depth_m(place_m);
            if (!worst_m || circle_mm(depth_m) > circle_mm(*worst_m)) worst_m = depth_m;
        }
        return worst_m;
    }

    void add(Cautions& list, const std::string& what, double depth_m) const {
        const Camera& camera = shoot_.camera;
        const double limit_mm = sharp_circle_mm(camera);
        const double mm = circle_mm(depth_m);
        if (mm <= limit_mm) return;
        const SharpRange sharp = sharp_range(camera, settings_.f_number, limit_mm);
        const std::string to = std::isinf(sharp.far_m) ? std::string("infinity")
                                                       : fmt::format("{:.1f} m", sharp.far_m);
        list.push_back(
            {"focus", CautionLevel::care,
             fmt::format(
                 "In take \"{}\" {} is out of focus at a depth of {:.1f} m: a point is {:.2f} "
                 "mm wide on the film, {:.0f} pixels. At f/{:.3g} focused at {:.3g} m all "
                 "from {:.1f} m to {} looks sharp.",
                 take_.name, what, depth_m, mm, mm / pixel_pitch_mm(camera).x, settings_.f_number,
                 camera.focus_m, sharp.near_m, to)});
    }

    const PlacedShoot& shoot_;
    const Take& take_;
    ExposureSettings settings_;
    Projection projection_;
};

}  // namespace

std::vector<Caution> focus_cautions(const PlacedShoot& shoot) {
    Cautions list;
    for (const Take& take : shoot.takes) {
        const FocusOfTake focus(shoot, take);
        focus.add_subjects(list);
        focus.add_flights(list);
    }
    return list;
}

}  // namespace lampflight
