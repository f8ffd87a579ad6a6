#include "scene/camera/view_frustum.h"

#include <doctest/doctest.h>

#include <cmath>

#include "scene/basics/noise.h"
#include "scene/ground/ground.h"
#include "scene/ground/scree.h"

using namespace lampflight;

namespace {

Camera camera_at_dusk() {
    Camera camera;
    camera.position_m = {2.0, -12.0, 1.4};
    camera.bearing_deg = 20.0;
    camera.tilt_deg = 8.0;
    camera.roll_deg = 3.0;
    camera.focal_mm = 24.0;
    return camera;
}

bool is_in_frame(const Camera& camera, const Vec3& place_m) {
    const auto film_px = Projection(camera).film_px(place_m);
    return film_px && film_px->x >= 0.0 && film_px->y >= 0.0 && film_px->x <= camera.pixels.x &&
           film_px->y <= camera.pixels.y;
}

}  // namespace

TEST_CASE("the view's pyramid holds just what the projection puts on the film") {
    const Camera camera = camera_at_dusk();
    const ViewFrustum view = view_frustum(camera);
    int inside = 0;
    for (std::int32_t i = 0; i < 20000; ++i) {
        const Vec3 share(hash_share(i, 0, 0, 1u), hash_share(i, 1, 0, 1u), hash_share(i, 2, 0, 1u));
        const Vec3 place_m = camera.position_m + 40.0 * (share - 0.5);
        const bool is_seen = is_in_frame(camera, place_m);
        REQUIRE(reaches_into(view, place_m, 0.0) == is_seen);
        inside += is_seen ? 1 : 0;
    }
    CHECK(inside > 500);
}

TEST_CASE("a ball beside the pyramid reaches in when its radius is the distance to the side") {
    Camera camera;
    camera.position_m = {0.0, 0.0, 0.0};
    camera.sensor_mm = {36.0, 24.0};
    camera.focal_mm = 18.0;  // sides at 45 degrees
    const ViewFrustum view = view_frustum(camera);
    const Vec3 aside_m(6.0, 4.0, 0.0);  // sqrt(2) off the right side
    CHECK(reaches_into(view, aside_m, 1.415));
    CHECK_FALSE(reaches_into(view, aside_m, 1.413));
}

TEST_CASE("a view thins the ground outside it and leaves what it shows as it was") {
    Ground ground;
    ground.far_hills_m = 250.0;
    const Camera camera = camera_at_dusk();
    const Vec2 middle_m(3.0, -5.0);
    const Mesh whole = ground_mesh({ground, middle_m});
    const Mesh thinned = ground_mesh({ground, middle_m}, view_frustum(camera));
    CHECK(thinned.triangles.size() < whole.triangles.size() * 6 / 10);
    const auto seen = [&](const Mesh& mesh) {
        std::vector<std::array<glm::vec3, 6>> triangles;
        for (const auto& [a, b, c] : mesh.triangles) {
            const auto& p = mesh.positions;
            const Vec3 middle = Vec3(p[a] + p[b] + p[c]) / 3.0;
            if (is_in_frame(camera, middle))
                triangles.push_back(
                    {p[a], p[b], p[c], mesh.normals[a], mesh.normals[b], mesh.normals[c]});
        }
        return triangles;
    };
    const auto before = seen(whole);
    CHECK(before.size() > 50000);
    CHECK(before == seen(thinned));
}
