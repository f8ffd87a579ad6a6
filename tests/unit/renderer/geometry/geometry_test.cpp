// Where light is looked for: on the smooth surface that a mesh's normals tell of.
#include "renderer/geometry/geometry.h"

#include <doctest/doctest.h>

#include <limits>

#include "scene/subjects/normals.h"
#include "tests/icosphere.h"
#include "tests/obj_file.h"
#include "tests/obj_shape.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

/// Sixteen parallel rays, so far apart.
RayPacket parallel_rays(const glm::vec3& from_m, const glm::vec3& direction, float apart_m) {
    RayPacket rays;
    rays.active = all_lanes;
    rays.reach.lane.fill(std::numeric_limits<float>::infinity());
    for (int i = 0; i < packet_size; ++i) {
        const glm::vec3 off_m(0.0f, static_cast<float>(i % 4) - 1.5f,
                              static_cast<float>(i / 4) - 1.5f);
        rays.origin_m.set(i, from_m + apart_m * off_m);
        rays.direction.set(i, direction);
    }
    return rays;
}

SurfacePacket met(const Geometry& geometry, const RayPacket& rays) {
    return geometry.surfaces(rays, geometry.rays().closest(rays), 1e-3f);
}

}  // namespace

TEST_CASE("from flat faces rays leave where they were met, to the last bit") {
    for (const double turned_deg : {0.0, 17.0, 133.0})
        for (const ObjShape& shape : {box_shape(Vec3(-1.0), Vec3(1.0)), pole_shape(8, 1.5, 3.0)}) {
            Mesh mesh = obj_of(with_shared_corners(shape)).mesh;
            place(mesh, turned_deg, 1.3, {0.37, -0.21, 0.11});
            const Geometry geometry({&mesh});
            const SurfacePacket points =
                met(geometry, parallel_rays({9.0f, 0.0f, 1.0f}, {-1.0f, 0.03f, -0.02f}, 0.3f));
            REQUIRE(points.found == all_lanes);
            for (int i = 0; i < packet_size; ++i) {
                CHECK(points.bulge_m.at(i) == glm::vec3(0.0f));
                const glm::vec3 here_m = points.position_m.at(i);
                CHECK(points.leaving_m(i) ==
                      here_m + ray_offset_m(here_m) * points.face_normal.at(i));
                CHECK(points.faces_away(i, -points.face_normal.at(i)));
            }
        }
}

// On a chord of half angle a of a circle with radius R the middle lies R (1 - cos a) below the arc.
// The tangent planes of its ends lift it to R sin2(a) cos(a) above the chord, about twice that:
// derived from the published formula.
TEST_CASE("from a coarse round body rays leave outside of the round it stands for, split or not") {
    const Mesh whole = icosphere(Vec3(0.0), 1.0, 1, false);
    Mesh split = whole;
    REQUIRE(split_long_edges(split, 0.1));
    const RayPacket rays = parallel_rays({9.0f, 0.0f, 0.0f}, {-1.0f, 0.0f, 0.0f}, 0.21f);
    const Geometry coarse({&whole}), fine({&split});
    const SurfacePacket one = met(coarse, rays), other = met(fine, rays);
    for (int i = 0; i < packet_size; ++i) {
        const float below_m = 1.0f - glm::length(one.position_m.at(i));
        CHECK(glm::length(one.leaving_m(i)) > 1.0f - 0.1f * below_m);
        CHECK(glm::length(one.leaving_m(i)) < 1.0f + 1.5f * below_m);
        // The same within a quarter of what there is to mend.
        CHECK(glm::distance(one.leaving_m(i), other.leaving_m(i)) < 0.25f * below_m);
    }
}

TEST_CASE("in a hollow nothing is lifted, nor where another surface stands in between") {
    const RayPacket rays = parallel_rays({0.0f, 0.0f, 0.0f}, {-1.0f, 0.0f, 0.0f}, 0.21f);
    const Mesh room = icosphere(Vec3(0.0), 1.0, 1, true);
    const SurfacePacket inside = met(Geometry({&room}), rays);
    for (int i = 0; i < packet_size; ++i) CHECK(inside.bulge_m.at(i) == glm::vec3(0.0f));

    const Mesh ball = icosphere(Vec3(0.0), 1.0, 1, false);
    const Mesh skin = icosphere(Vec3(0.0), 1.001, 1, false);
    const Geometry covered({&ball, &skin});
    const RayPacket outside = parallel_rays({9.0f, 0.0f, 0.0f}, {-1.0f, 0.0f, 0.0f}, 0.21f);
    const SurfacePacket below = met(covered, [&] {
        RayPacket from_between = outside;
        const HitPacket hits = covered.rays().closest(outside);
        for (int i = 0; i < packet_size; ++i)
            from_between.origin_m.x[i] -= hits.distance[i] + 1e-4f;
        return from_between;
    }());
    for (int i = 0; i < packet_size; ++i) {
        CHECK(below.mesh[static_cast<std::size_t>(i)] == 0);
        CHECK(below.bulge_m.at(i) == glm::vec3(0.0f));
    }
}
