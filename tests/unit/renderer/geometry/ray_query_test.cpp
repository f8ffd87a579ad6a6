#include "renderer/geometry/ray_query.h"

#include <limits>

#include "tests/icosphere.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

Mesh square(float y, float side) {
    Mesh mesh;
    mesh.positions = {{-side, y, -side}, {side, y, -side}, {side, y, side}, {-side, y, side}};
    mesh.normals.assign(4, {0.0f, -1.0f, 0.0f});
    mesh.triangles = {{0, 1, 2}, {0, 2, 3}};
    mesh.material_of = {0, 0};
    mesh.materials = {{}};
    return mesh;
}

/// Sixteen rays towards +y, a step apart along x.
RayPacket abreast(float step_m, float reach) {
    RayPacket rays;
    rays.reach.lane.fill(reach);
    for (int i = 0; i < packet_size; ++i) {
        rays.origin_m.set(i, {step_m * (static_cast<float>(i) - 7.5f), 0.0f, 0.1f});
        rays.direction.set(i, {0.0f, 2.0f, 0.0f});
    }
    rays.active = all_lanes;
    return rays;
}

constexpr float endless = std::numeric_limits<float>::infinity();

}  // namespace

TEST_CASE("rays meet the nearer of two surfaces, and count in lengths of their direction") {
    const Mesh near = square(4.0f, 1.0f);
    const Mesh far = square(10.0f, 50.0f);
    const RayQuery query({&far, &near});
    const HitPacket hits = query.closest(abreast(0.25f, endless));
    CHECK(hits.hit == all_lanes);
    for (int i = 0; i < packet_size; ++i) {
        const bool inner = i >= 4 && i < 12;  // |x| < 1
        CHECK(hits.mesh[static_cast<std::size_t>(i)] == (inner ? 1u : 0u));
        CHECK_WITHIN(static_cast<double>(hits.distance[i]), inner ? 2.0 : 5.0, 1e-5);
    }
}

TEST_CASE("barycentric weights lead to the place of the hit") {
    const Mesh ball = icosphere({0.0, 5.0, 0.0}, 2.0, 3, false);
    const RayQuery query({&ball});
    const RayPacket rays = abreast(0.2f, endless);
    const HitPacket hits = query.closest(rays);
    CHECK(hits.hit == all_lanes);
    for (int i = 0; i < packet_size; ++i) {
        const auto lane = static_cast<std::size_t>(i);
        const auto& corner = ball.triangles[hits.triangle[lane]];
        const float u = hits.u[i];
        const float v = hits.v[i];
        const glm::vec3 place = (1.0f - u - v) * ball.positions[corner[0]] +
                                u * ball.positions[corner[1]] + v * ball.positions[corner[2]];
        const glm::vec3 along = rays.origin_m.at(i) + hits.distance[i] * rays.direction.at(i);
        CHECK_WITHIN(glm::dvec3(place), glm::dvec3(along), 1e-4);
    }
}

TEST_CASE("shadow rays end at their reach") {
    const Mesh wall = square(4.0f, 1.0f);
    const RayQuery query({&wall});
    CHECK(query.occluded(abreast(0.25f, 1.9f)) == 0u);
    CHECK(query.occluded(abreast(0.25f, 2.1f)) == 0x0ff0u);
}

TEST_CASE("lanes that are not active stay out of it") {
    const Mesh wall = square(4.0f, 50.0f);
    const RayQuery query({&wall});
    for (const LaneMask active : {0x0000u, 0x0001u, 0x8000u, 0x00ffu, 0xa5a5u}) {
        RayPacket rays = abreast(0.25f, endless);
        rays.active = active;
        CHECK(query.closest(rays).hit == active);
        CHECK(query.occluded(rays) == active);
    }
}

TEST_CASE("no ray slips between triangles that share an edge") {
    const Mesh shell = icosphere({0.0, 0.0, 0.0}, 3.0, 3, true);
    const RayQuery query({&shell});
    for (std::size_t first = 0; first < shell.positions.size(); first += packet_size) {
        RayPacket rays;
        rays.reach.lane.fill(endless);
        rays.active = 0;
        for (int i = 0; i < packet_size; ++i) {
            const std::size_t vertex = first + static_cast<std::size_t>(i);
            if (vertex >= shell.positions.size()) break;
            rays.origin_m.set(i, {0.0f, 0.0f, 0.0f});
            rays.direction.set(i, shell.positions[vertex]);  // through a corner of six triangles
            rays.active |= 1u << i;
        }
        CHECK(query.closest(rays).hit == rays.active);
        CHECK(query.occluded(rays) == rays.active);
    }
}

TEST_CASE("nothing to meet") {
    const Mesh empty;
    const RayQuery query({&empty});
    CHECK(query.closest(abreast(1.0f, endless)).hit == 0u);
    CHECK(query.occluded(abreast(1.0f, endless)) == 0u);
}

TEST_CASE("meshes go and come back, new ones join, and hits are those of a fresh query") {
    const Mesh near = square(4.0f, 50.0f);
    const Mesh nearer = icosphere({0.0, 3.0, 0.0}, 1.0, 4, false);
    const Mesh far = square(10.0f, 50.0f);
    RayQuery query({&far, nullptr, &near});
    const RayPacket rays = abreast(0.25f, endless);
    const auto check_as_fresh = [&](const std::vector<const Mesh*>& meshes) {
        const HitPacket hits = query.closest(rays), fresh = RayQuery(meshes).closest(rays);
        CHECK(hits.hit == fresh.hit);
        CHECK(hits.mesh == fresh.mesh);
        CHECK(hits.distance.lane == fresh.distance.lane);
    };
    check_as_fresh({&far, nullptr, &near});
    CHECK(query.closest(rays).mesh[0] == 2u);
    query.show({&far, nullptr, nullptr});
    CHECK(query.closest(rays).mesh[0] == 0u);
    query.show({nullptr, &nearer, nullptr});
    CHECK(query.closest(rays).mesh[8] == 1u);
    CHECK(query.closest(rays).hit != all_lanes);
    query.show({&far, &nearer, &near});
    check_as_fresh({&far, &nearer, &near});
    query.show({nullptr, nullptr, nullptr});
    CHECK(query.closest(rays).hit == 0);
    CHECK(query.occluded(rays) == 0);
}
