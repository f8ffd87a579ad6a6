#include "cli/sheets/plan_fix.h"

#include <cmath>

#include <fmt/format.h>

#include "cli/reports/quantity_text.h"
#include "scene/basics/angle.h"

namespace lampflight {
namespace {

constexpr double nowhere_m = 0.005;

double within_circle_deg(double angle_deg) {
    const double within = std::fmod(angle_deg, 360.0);
    return within < 0.0 ? within + 360.0 : within;
}

}  // namespace

PlanFix plan_fix(const Vec3& from_m, const Vec3& to_m,
                 const std::optional<double>& declination_deg) {
    const Vec2 way_m = Vec2(to_m) - Vec2(from_m);
    const double distance_m = glm::length(way_m);
    PlanFix fix{0.0, std::nullopt, distance_m, static_cast<int>(std::lround(distance_m / pace_m)),
                way_m};
    if (distance_m >= nowhere_m) fix.bearing_deg = degrees(bearing_of({way_m, 0.0}));
    if (declination_deg) fix.magnetic_deg = within_circle_deg(fix.bearing_deg - *declination_deg);
    return fix;
}

std::string bearing_text(double bearing_deg) {
    return fmt::format("{}\u00b0", std::lround(within_circle_deg(bearing_deg)) % 360);
}

std::string tape_text(double length_m) {
    return decimal_text(length_m, std::abs(length_m) < 99.95 ? 1 : 0) + " m";
}

}  // namespace lampflight
