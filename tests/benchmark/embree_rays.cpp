#include "tests/benchmark/embree_rays.h"

#include <tbb/blocked_range.h>
#include <tbb/parallel_reduce.h>

#include <cstring>
#include <functional>
#include <stdexcept>

namespace lampflight::bench {
namespace {

void attach(RTCDevice device, RTCScene scene, const Mesh& mesh) {
    RTCGeometry geometry = rtcNewGeometry(device, RTC_GEOMETRY_TYPE_TRIANGLE);
    void* positions =
        rtcSetNewGeometryBuffer(geometry, RTC_BUFFER_TYPE_VERTEX, 0, RTC_FORMAT_FLOAT3,
                                sizeof(glm::vec3), mesh.positions.size());
    void* corners = rtcSetNewGeometryBuffer(geometry, RTC_BUFFER_TYPE_INDEX, 0, RTC_FORMAT_UINT3,
                                            3 * sizeof(std::uint32_t), mesh.triangles.size());
    if (positions == nullptr || corners == nullptr)
        throw std::runtime_error("not enough memory for the meshes");
    std::memcpy(positions, mesh.positions.data(), mesh.positions.size() * sizeof(glm::vec3));
    std::memcpy(corners, mesh.triangles.data(), mesh.triangles.size() * 3 * sizeof(std::uint32_t));
    rtcCommitGeometry(geometry);
    rtcAttachGeometry(scene, geometry);
    rtcReleaseGeometry(geometry);
}

RTCIntersectContext coherent_context() {
    RTCIntersectContext context;
    rtcInitIntersectContext(&context);
    context.flags = RTC_INTERSECT_CONTEXT_FLAG_COHERENT;
    return context;
}

/// Sums `count_one(packet)` over all packets with all cores.
template <class Packet, class Count>
std::size_t counted(const std::vector<Packet>& packets, Count count_one) {
    using Range = tbb::blocked_range<std::size_t>;
    return tbb::parallel_reduce(
        Range(0, packets.size(), 256), std::size_t{0},
        [&](const Range& range, std::size_t sum) {
            RTCIntersectContext context = coherent_context();
            for (std::size_t i = range.begin(); i != range.end(); ++i)
                sum += count_one(packets[i], context);
            return sum;
        },
        std::plus<>());
}

alignas(32) constexpr int all_eight[8]{-1, -1, -1, -1, -1, -1, -1, -1};

}  // namespace

EmbreeRays::EmbreeRays(const std::vector<const Mesh*>& meshes) : device_(rtcNewDevice(nullptr)) {
    if (device_ == nullptr) throw std::runtime_error("the ray tracer could not start");
    scene_ = rtcNewScene(device_);
    rtcSetSceneFlags(scene_, RTC_SCENE_FLAG_ROBUST);
    for (const Mesh* mesh : meshes)
        if (!mesh->triangles.empty()) attach(device_, scene_, *mesh);
    rtcCommitScene(scene_);
    if (rtcGetDeviceError(device_) != RTC_ERROR_NONE)
        throw std::runtime_error("the ray tracer could not build the scene");
}

EmbreeRays::~EmbreeRays() {
    rtcReleaseScene(scene_);
    rtcReleaseDevice(device_);
}

bool EmbreeRays::occluded(const ShadowRay& ray) const {
    RTCIntersectContext context;
    rtcInitIntersectContext(&context);
    RTCRay query{};
    query.org_x = ray.origin_m.x;
    query.org_y = ray.origin_m.y;
    query.org_z = ray.origin_m.z;
    query.dir_x = ray.direction.x;
    query.dir_y = ray.direction.y;
    query.dir_z = ray.direction.z;
    query.tfar = shadow_reach;
    query.mask = ~0u;
    rtcOccluded1(scene_, &context, &query);
    return query.tfar < 0.0f;
}

std::size_t EmbreeRays::hits_of(const std::vector<RTCRayHit8>& packets) const {
    return counted(packets, [&](const RTCRayHit8& packet, RTCIntersectContext& context) {
        RTCRayHit8 own = packet;
        rtcIntersect8(all_eight, scene_, &context, &own);
        std::size_t hits = 0;
        for (const unsigned id : own.hit.geomID) hits += id != RTC_INVALID_GEOMETRY_ID ? 1 : 0;
        return hits;
    });
}

std::size_t EmbreeRays::occluded_of(const std::vector<RTCRay8>& packets) const {
    return counted(packets, [&](const RTCRay8& packet, RTCIntersectContext& context) {
        RTCRay8 own = packet;
        rtcOccluded8(all_eight, scene_, &context, &own);
        std::size_t hits = 0;
        for (const float reach : own.tfar) hits += reach < 0.0f ? 1 : 0;
        return hits;
    });
}

std::size_t EmbreeRays::occluded_of(const std::vector<RTCRay>& rays) const {
    return counted(rays, [&](const RTCRay& ray, RTCIntersectContext& context) -> std::size_t {
        RTCRay own = ray;
        rtcOccluded1(scene_, &context, &own);
        return own.tfar < 0.0f ? 1 : 0;
    });
}

}  // namespace lampflight::bench
