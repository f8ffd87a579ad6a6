#include "scene/planning/lit_ground.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include "scene/camera/lens_light.h"
#include "scene/shoot/open_lamp_light.h"

namespace lampflight {
namespace {

constexpr double farthest_m = 2000.0;

class GroundUnderLamps {
public:
    GroundUnderLamps(const PlacedShoot& shoot, const Take& take)
        : projection_(shoot.camera),
          lens_(shoot.camera),
          camera_(shoot.camera),
          lamps_(shoot, lit_lamps(shoot, take)) {
        see_ground();
    }

    LitGround brightest() const;

private:
    void see_ground();
    std::optional<double> lens_factor_at(const Vec2& place_m) const;
    double patch_cd_s_m2(const Vec2& middle_m) const;
    double film_at(const Vec2& place_m, bool patch) const;
    std::vector<Vec2> candidates_m() const;
    Vec2 climbed(Vec2 place_m) const;

    Projection projection_;
    LensLight lens_;
    const Camera& camera_;
    OpenLampLight lamps_;
    std::vector<Vec2> seen_m_;  ///< ground that the film sees, evenly over the film
    Vec2 middle_px_{0.0};       ///< of the film that sees ground
};

void GroundUnderLamps::see_ground() {
    constexpr int columns = 48, rows = 32;
    const Vec3 lens_m = projection_.position_m();
    Vec2 sum_px(0.0);
    for (int row = 0; row < rows; ++row)
        for (int column = 0; column < columns; ++column) {
            const Vec2 share{(column + 0.5) / columns, (row + 0.5) / rows};
            const Vec2 film_px = share * Vec2(camera_.pixels);
            const Vec3 direction = projection_.direction(film_px);
            if (direction.z >= 0.0 || lens_m.z <= 0.0) continue;
            const double distance_m = -lens_m.z / direction.z;
            if (distance_m > farthest_m) continue;
            seen_m_.push_back(Vec2(lens_m + distance_m * direction));
            sum_px += film_px;
        }
    if (!seen_m_.empty()) middle_px_ = sum_px / static_cast<double>(seen_m_.size());
}

/// Nothing outside the frame; where the frame shows no ground, that of the axis.
std::optional<double> GroundUnderLamps::lens_factor_at(const Vec2& place_m) const {
    if (seen_m_.empty()) return lens_.factor(Vec2(camera_.pixels) / 2.0);
    if (glm::distance(place_m, Vec2(camera_.position_m)) > farthest_m) return std::nullopt;
    const auto film_px = projection_.film_px(Vec3(place_m, 0.0));
    if (!film_px || !in_frame(camera_, *film_px)) return std::nullopt;
    return lens_.factor(*film_px);
}

/// Mean over a square metre.
double GroundUnderLamps::patch_cd_s_m2(const Vec2& middle_m) const {
    constexpr int side = 3;
    double sum = 0.0;
    for (int i = 0; i < side; ++i)
        for (int j = 0; j < side; ++j)
            sum += lamps_.ground_cd_s_m2(middle_m + Vec2(i + 0.5, j + 0.5) / (1.0 * side) - 0.5);
    return sum / (side * side);
}

double GroundUnderLamps::film_at(const Vec2& place_m, bool patch) const {
    const auto factor = lens_factor_at(place_m);
    if (!factor) return 0.0;
    return *factor * (patch ? patch_cd_s_m2(place_m) : lamps_.ground_cd_s_m2(place_m));
}

/// Ground all over the film, under the lamps, and where they point.
std::vector<Vec2> GroundUnderLamps::candidates_m() const {
    constexpr std::size_t most = 64;
    std::vector<Vec2> places_m = seen_m_;
    const auto& instants = lamps_.instants();
    const std::size_t step = std::max<std::size_t>(1, instants.size() / most);
    for (std::size_t i = 0; i < instants.size(); i += step) {
        const OpenLampLight::Instant& at = instants[i];
        places_m.emplace_back(at.position_m);
        if (at.aim.z < -1e-3)
            places_m.emplace_back(at.position_m - at.position_m.z / at.aim.z * at.aim);
    }
    return places_m;
}

/// Uphill by ever shorter steps.
Vec2 GroundUnderLamps::climbed(Vec2 place_m) const {
    double best = film_at(place_m, true);
    for (double step_m = 4.0; step_m > 0.1;) {
        Vec2 next_m = place_m;
        for (const Vec2& way : {Vec2(1, 0), Vec2(-1, 0), Vec2(0, 1), Vec2(0, -1)}) {
            const double film = film_at(place_m + step_m * way, true);
            if (film <= best) continue;
            best = film;
            next_m = place_m + step_m * way;
        }
        if (next_m == place_m) step_m *= 0.5;
        place_m = next_m;
    }
    return place_m;
}

LitGround GroundUnderLamps::brightest() const {
    LitGround ground;
    ground.in_frame = !seen_m_.empty();
    double best = 0.0;
    Vec2 start_m(0.0);
    for (const Vec2& place_m : candidates_m())
        if (const double film = film_at(place_m, false); film > best) {
            best = film;
            start_m = place_m;
        }
    if (best > 0.0) {
        ground.place_m = climbed(start_m);
        ground.lamps_cd_s_m2 = patch_cd_s_m2(ground.place_m);
    } else if (ground.in_frame) {
        const Vec3 lens_m = projection_.position_m();
        const Vec3 direction = projection_.direction(middle_px_);
        ground.place_m = Vec2(lens_m - lens_m.z / direction.z * direction);
    }
    ground.lens_factor = lens_factor_at(ground.place_m).value_or(0.0);
    return ground;
}

}  // namespace

LitGround lit_ground(const PlacedShoot& shoot, const Take& take) {
    return GroundUnderLamps(shoot, take).brightest();
}

}  // namespace lampflight
