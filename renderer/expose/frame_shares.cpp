#include "renderer/expose/frame_shares.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "scene/camera/depth_of_field.h"
#include "scene/subjects/box.h"

namespace lampflight {
namespace {

constexpr int bands = 128;  // of rows, looked at one by one
constexpr int columns = 9;
constexpr double sharp_px = 0.5;
constexpr double nearest_hills_m = 1500.0;

/// What a band of rows shows.
struct Band {
    bool surface = false;
    bool sky = false;
    double nearest_m = std::numeric_limits<double>::infinity();  ///< along the axis
};

void look_down(const Shoot& shoot, const Projection& projection, double row, Band& band) {
    const double hills = shoot.ground.far_hills_m / nearest_hills_m;
    // Relief and stones stand up towards the lens, and not all places are level.
    const double height_m = std::max(0.05, projection.position_m().z - 0.5);
    for (int i = 0; i < columns; ++i) {
        const double x = static_cast<double>(shoot.camera.pixels.x) * i / (columns - 1);
        const Vec3 direction = projection.direction({x, row});
        const double level = std::hypot(direction.x, direction.y);
        if (direction.z <= (hills + 0.01) * level) band.surface = true;
        if (direction.z >= -0.01 * level) band.sky = true;
        if (direction.z >= 0.0) continue;
        const Vec3 there_m = projection.position_m() + height_m / -direction.z * direction;
        band.nearest_m = std::min(band.nearest_m, projection.depth_m(there_m));
    }
}

/// The rows that a box covers show surfaces; all of them where a corner lies behind the lens.
void stand_there(const Mesh& mesh, const Projection& projection, double height_px,
                 std::vector<Band>& seen) {
    if (mesh.positions.empty()) return;
    const Box box = box_of(mesh);
    double top = height_px, bottom = 0.0;
    double nearest_m = std::numeric_limits<double>::infinity();
    for (int corner = 0; corner < 8; ++corner) {
        const Vec3 there_m((corner & 1) != 0 ? box.high_m.x : box.low_m.x,
                           (corner & 2) != 0 ? box.high_m.y : box.low_m.y,
                           (corner & 4) != 0 ? box.high_m.z : box.low_m.z);
        nearest_m = std::min(nearest_m, std::max(0.05, projection.depth_m(there_m)));
        const auto place = projection.film_px(there_m);
        top = place ? std::min(top, place->y) : 0.0;
        bottom = place ? std::max(bottom, place->y) : height_px;
        if (!place) break;
    }
    for (std::size_t i = 0; i < seen.size(); ++i) {
        const double first = height_px * static_cast<double>(i) / bands;
        if (first + height_px / bands < top || first > bottom) continue;
        seen[i].surface = true;
        seen[i].nearest_m = std::min(seen[i].nearest_m, nearest_m);
    }
}

}  // namespace

FrameShares frame_shares(const PlacedShoot& shoot, double f_number) {
    const Camera& camera = shoot.camera;
    const Projection projection(camera);
    const double height_px = camera.pixels.y;
    std::vector<Band> seen(bands);
    for (int i = 0; i < bands; ++i)
        for (const double edge : {0.0, 1.0})
            look_down(shoot, projection, height_px * (i + edge) / bands,
                      seen[static_cast<std::size_t>(i)]);
    for (const Mesh& mesh : shoot.meshes) stand_there(mesh, projection, height_px, seen);

    const double px_mm = 0.5 / pixel_pitch_mm(camera).x;
    const double widest_px = 0.25 * std::min(camera.pixels.x, camera.pixels.y);
    const auto radius_px = [&](double depth_m) {
        return std::min(widest_px, px_mm * std::abs(blur_circle_mm(camera, f_number, depth_m)));
    };
    FrameShares shares{0.0, 0.0, 0.0, 0.0};
    for (const Band& band : seen) {
        const double sky_px = band.sky ? radius_px(1e9) : 0.0;
        const double near_px = band.surface ? radius_px(std::max(0.05, band.nearest_m)) : 0.0;
        const double blur_px = std::max(sky_px, near_px);
        shares.surfaces += band.surface ? 1.0 / bands : 0.0;
        shares.sky += band.sky ? 1.0 / bands : 0.0;
        shares.blurred += blur_px > sharp_px ? 1.0 / bands : 0.0;
        shares.widest_blur_px = std::max(shares.widest_blur_px, blur_px);
    }
    // Discs reach beyond their own rows.
    if (shares.blurred > 0.0)
        shares.blurred = std::min(1.0, shares.blurred + 2.0 * shares.widest_blur_px / height_px);
    return shares;
}

}  // namespace lampflight
