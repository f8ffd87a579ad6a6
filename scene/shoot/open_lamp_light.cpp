#include "scene/shoot/open_lamp_light.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include "scene/basics/angle.h"

namespace lampflight {
namespace {

int instants_of(const LitLamp& lit, const InstantSpacing& spacing) {
    constexpr int probes = 64;
    if (!lit.flies()) return spacing.fewest;
    double lowest_m = 1e9, travelled_m = 0.0;
    for (int i = 0; i < probes; ++i) {
        const double from_s = lit.lit.front().from_s;
        const double to_s = lit.lit.back().to_s;
        const double time_s = std::lerp(from_s, to_s, i / (probes - 1.0));
        lowest_m = std::min(lowest_m, lit.position_m(time_s).z);
        travelled_m = std::max(travelled_m, lit.flown_m(time_s));
    }
    const double steps = travelled_m / (spacing.share_of_height * std::max(lowest_m, 0.2));
    return static_cast<int>(std::clamp(steps, 1.0 * spacing.fewest, 1.0 * spacing.most));
}

}  // namespace

OpenLampLight::OpenLampLight(const PlacedShoot& shoot, const std::vector<LitLamp>& lamps,
                             const InstantSpacing& spacing) {
    for (const LitLamp& lit : lamps) add(shoot, lit, spacing);
}

void OpenLampLight::add(const PlacedShoot& shoot, const LitLamp& lit,
                        const InstantSpacing& spacing) {
    beams_.emplace_back(*lit.lamp);
    ground_share_.push_back(luminance(shoot.ground.reflectance * lamp_colour(*lit.lamp)) / pi);
    const AimTargets targets = aim_targets(shoot, lit);
    const int count = instants_of(lit, spacing);
    const double step_s = lit.lit_s() / count;
    std::size_t window = 0;
    double before_s = 0.0;  // lit time before the window
    for (int i = 0; i < count; ++i) {
        const double lit_s = (i + 0.5) * step_s;
        const auto length_s = [&] { return lit.lit[window].to_s - lit.lit[window].from_s; };
        while (window + 1 < lit.lit.size() && lit_s > before_s + length_s()) {
            before_s += length_s();
            ++window;
        }
        const double time_s = lit.lit[window].from_s + lit_s - before_s;
        instants_.push_back({lit.position_m(time_s), aim_direction(lit, targets, time_s),
                             beams_.size() - 1, step_s * lit.flux_scale});
    }
}

double OpenLampLight::ground_cd_s_m2(const Vec2& place_m) const {
    double sum = 0.0;
    for (const Instant& at : instants_) {
        const Vec3 to_ground = Vec3(place_m, 0.0) - at.position_m;
        if (to_ground.z >= 0.0) continue;
        const double r2 = glm::dot(to_ground, to_ground);
        const double r = std::sqrt(r2);
        sum += at.weight_s * ground_share_[at.lamp] *
               beams_[at.lamp].intensity_cd(glm::dot(to_ground, at.aim) / r) * (-to_ground.z / r) /
               r2;
    }
    return sum;
}

double OpenLampLight::facing_lxs(const Vec3& place_m) const {
    double sum = 0.0;
    for (const Instant& at : instants_) {
        const Vec3 to_place = place_m - at.position_m;
        const double r2 = std::max(glm::dot(to_place, to_place), 1e-4);
        sum += at.weight_s *
               beams_[at.lamp].intensity_cd(glm::dot(to_place, at.aim) / std::sqrt(r2)) / r2;
    }
    return sum;
}

double ground_cd_m2(const Ground& ground, double horizontal_lx) {
    return luminance(ground.reflectance) * horizontal_lx / pi;
}

}  // namespace lampflight
