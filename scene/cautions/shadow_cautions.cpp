#include "scene/cautions/caution_kinds.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>
#include <string_view>

#include <fmt/format.h>

#include "scene/basics/angle.h"
#include "scene/shoot/take_moment.h"

namespace lampflight {
namespace {

// Who stands behind a camera is about so tall.
constexpr double person_m = 1.75;

// Beyond this a disc of half a degree has washed out the shadow of someone half a metre wide.
constexpr double farthest_m = 50.0;

// A body that brings less of the ground's light throws no shadow that one sees: 0.15 stop.
constexpr double least_share = 0.1;

/// Where the shadow of someone at the camera first shows in the frame, in metres from the feet.
std::optional<double> seen_from_m(const Camera& camera, const Vec3& to_light, double length_m) {
    const Projection projection(camera);
    const Vec2 away = -glm::normalize(Vec2(to_light));
    constexpr int steps = 200;
    for (int i = 1; i <= steps; ++i) {
        const double along_m = length_m * i / steps;
        const Vec2 place_m = Vec2(camera.position_m) + along_m * away;
        const auto film_px = projection.film_px(Vec3(place_m, 0.0));
        if (film_px && in_frame(camera, *film_px)) return along_m;
    }
    return std::nullopt;
}

/// A shadow that shows, of one of the sky's bodies.
struct Shadow {
    double altitude_rad;
    double share;  ///< of the ground's light that the body brings
    double from_m;
};

std::optional<Shadow> shadow_of(const Camera& camera, const NightSky& sky, const SkyBody& body) {
    const double level = glm::length(Vec2(body.direction));
    if (body.direction.z <= 0.0 || level < 1e-6 || camera.position_m.z > highest_tripod_m)
        return std::nullopt;
    const double share = body.clear_lx * (1.0 - sky.cloud_share) / horizontal_lx(sky);
    if (!(share >= least_share)) return std::nullopt;
    const double tall_m = std::max(person_m, camera.position_m.z);
    const double length_m = std::min(farthest_m, tall_m * level / body.direction.z);
    const auto from_m = seen_from_m(camera, body.direction, length_m);
    if (!from_m) return std::nullopt;
    return Shadow{std::asin(body.direction.z), std::min(share, 1.0), *from_m};
}

/// The shadow of one body in the take that shows most of it.
void add_shadow(Findings& list, const Shoot& shoot, SkyBody NightSky::*body,
                std::string_view name) {
    for (const Take& take : shoot.takes) {
        const NightSky sky = night_sky(shoot, moment_of(shoot, take).unix_s);
        const auto shadow = shadow_of(shoot.camera, sky, sky.*body);
        if (!shadow) continue;
        list.push_back(
            {"shadow",
             CautionLevel::care,
             fmt::format("In take \"{}\" the {} stands {:.0f} deg high behind the camera and "
                         "brings {:.0f} % of the ground's light: the shadow of camera and "
                         "photographer falls into the frame, from {:.1f} m in front of the lens "
                         "on. Step aside while the shutter is open, or frame past it; the picture "
                         "leaves the shadow out.",
                         take.name, name, degrees(shadow->altitude_rad), 100.0 * shadow->share,
                         shadow->from_m),
             {std::string(name), "take", take.name, take.name, shadow->share}});
    }
}

}  // namespace

Findings shadow_cautions(const Shoot& shoot) {
    Findings list;
    if (!shoot.place) return list;
    add_shadow(list, shoot, &NightSky::sun, "sun");
    add_shadow(list, shoot, &NightSky::moon, "moon");
    return list;
}

}  // namespace lampflight
