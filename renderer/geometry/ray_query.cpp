#include "renderer/geometry/ray_query.h"

#include <embree3/rtcore.h>

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstring>
#include <limits>
#include <stdexcept>

namespace lampflight {
namespace {

// Embree's 8-wide calls are the widest that AVX2 runs natively; 16-wide ones need AVX-512.
struct Device {
    RTCDevice handle;
    bool native16;
};

const Device& shared_device() {
    static const Device device = [] {
        RTCDevice handle = rtcNewDevice(nullptr);
        if (handle == nullptr) throw std::runtime_error("the ray tracer could not start");
        return Device{
            handle, rtcGetDeviceProperty(handle, RTC_DEVICE_PROPERTY_NATIVE_RAY16_SUPPORTED) != 0};
    }();
    return device;
}

template <class Packet>
void fill_rays(Packet& packet, const RayPacket& rays, std::size_t first, std::size_t count) {
    const auto copy = [&](float* to, const Lanes& from) {
        std::memcpy(to, from.lane.data() + first, count * sizeof(float));
    };
    copy(packet.org_x, rays.origin_m.x);
    copy(packet.org_y, rays.origin_m.y);
    copy(packet.org_z, rays.origin_m.z);
    copy(packet.dir_x, rays.direction.x);
    copy(packet.dir_y, rays.direction.y);
    copy(packet.dir_z, rays.direction.z);
    copy(packet.tfar, rays.reach);
    std::fill_n(packet.tnear, count, 0.0f);
    std::fill_n(packet.time, count, 0.0f);
    std::fill_n(packet.mask, count, ~0u);
    std::fill_n(packet.id, count, 0u);
    std::fill_n(packet.flags, count, 0u);
}

template <std::size_t count>
void fill_valid(int (&valid)[count], LaneMask active, std::size_t first) {
    for (std::size_t i = 0; i < count; ++i) valid[i] = (active >> (first + i) & 1u) != 0u ? -1 : 0;
}

template <class Packet, std::size_t count, class Call>
void closest_part(const RayPacket& rays, std::size_t first, HitPacket& hits, Call call) {
    alignas(64) int valid[count];
    fill_valid(valid, rays.active, first);
    Packet packet;
    fill_rays(packet.ray, rays, first, count);
    std::fill_n(packet.hit.geomID, count, RTC_INVALID_GEOMETRY_ID);
    std::fill_n(packet.hit.instID[0], count, RTC_INVALID_GEOMETRY_ID);
    call(valid, packet);
    std::memcpy(hits.distance.lane.data() + first, packet.ray.tfar, count * sizeof(float));
    std::memcpy(hits.u.lane.data() + first, packet.hit.u, count * sizeof(float));
    std::memcpy(hits.v.lane.data() + first, packet.hit.v, count * sizeof(float));
    std::memcpy(hits.face.x.lane.data() + first, packet.hit.Ng_x, count * sizeof(float));
    std::memcpy(hits.face.y.lane.data() + first, packet.hit.Ng_y, count * sizeof(float));
    std::memcpy(hits.face.z.lane.data() + first, packet.hit.Ng_z, count * sizeof(float));
    for (std::size_t i = 0; i < count; ++i) {
        hits.mesh[first + i] = packet.hit.geomID[i];
        hits.triangle[first + i] = packet.hit.primID[i];
        if (valid[i] != 0 && packet.hit.geomID[i] != RTC_INVALID_GEOMETRY_ID)
            hits.hit |= 1u << (first + i);
    }
}

template <class Packet, std::size_t count, class Call>
LaneMask occluded_part(const RayPacket& rays, std::size_t first, Call call) {
    alignas(64) int valid[count];
    fill_valid(valid, rays.active, first);
    Packet packet;
    fill_rays(packet, rays, first, count);
    call(valid, packet);
    LaneMask blocked = 0;
    for (std::size_t i = 0; i < count; ++i)
        // Embree marks an occluded ray by a reach of minus infinity.
        if (valid[i] != 0 && packet.tfar[i] < 0.0f) blocked |= 1u << (first + i);
    return blocked;
}

/// Whether no active lane's values differ from a given lane's by more than some width.
bool within(const LaneVectors& values, LaneMask active, int of, float width) {
    const glm::vec3 middle = values.at(of);
    unsigned apart = 0;
    for (int i = 0; i < packet_size; ++i) {
        const bool near = std::abs(values.x[i] - middle.x) <= width &&
                          std::abs(values.y[i] - middle.y) <= width &&
                          std::abs(values.z[i] - middle.z) <= width;
        apart |= near ? 0u : active >> i & 1u;
    }
    return apart == 0;
}

/// Rays that start close by and point alike are walked together, others one by one: measured on a
/// scene of stones, either way loses up to 40 % where the other belongs, and the two are level
/// about here.
bool keep_together(const RayPacket& rays) {
    constexpr float start_m = 0.35f, direction_share = 0.4f;
    if (rays.active == 0) return true;
    const int first = std::countr_zero(rays.active);
    const glm::vec3 along = glm::abs(rays.direction.at(first));
    return within(rays.origin_m, rays.active, first, start_m) &&
           within(rays.direction, rays.active, first,
                  direction_share * std::max({along.x, along.y, along.z}));
}

RTCIntersectContext context_for(const RayPacket& rays) {
    RTCIntersectContext context;
    rtcInitIntersectContext(&context);
    context.flags = keep_together(rays) ? RTC_INTERSECT_CONTEXT_FLAG_COHERENT
                                        : RTC_INTERSECT_CONTEXT_FLAG_INCOHERENT;
    return context;
}

constexpr LaneMask low_half = 0x00ffu;
constexpr LaneMask high_half = 0xff00u;

void attach(RTCDevice device, RTCScene scene, const Mesh& mesh, unsigned id) {
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
    rtcAttachGeometryByID(scene, geometry, id);
    rtcReleaseGeometry(geometry);
}

}  // namespace

struct RayQuery::Scene {
    RTCScene handle = nullptr;
    std::vector<bool> attached;  ///< by place in the list of meshes

    Scene() = default;
    Scene(const Scene&) = delete;
    Scene& operator=(const Scene&) = delete;

    ~Scene() {
        if (handle != nullptr) rtcReleaseScene(handle);
    }
};

RayQuery::RayQuery(const std::vector<const Mesh*>& meshes) : scene_(std::make_unique<Scene>()) {
    scene_->handle = rtcNewScene(shared_device().handle);
    // Robust: no ray slips between two triangles that share an edge.
    rtcSetSceneFlags(scene_->handle, RTC_SCENE_FLAG_ROBUST);
    // One tree over all: a tree for each mesh builds in two thirds of the time, but where their
    // boxes overlap lamp rays take up to half as long again.
    rtcSetSceneBuildQuality(scene_->handle, RTC_BUILD_QUALITY_MEDIUM);
    show(meshes);
}

void RayQuery::show(const std::vector<const Mesh*>& meshes) {
    const RTCDevice device = shared_device().handle;
    scene_->attached.resize(std::max(scene_->attached.size(), meshes.size()), false);
    for (std::size_t i = 0; i < scene_->attached.size(); ++i) {
        const auto id = static_cast<unsigned>(i);
        const bool is_there =
            i < meshes.size() && meshes[i] != nullptr && !meshes[i]->triangles.empty();
        if (!scene_->attached[i]) {
            if (is_there) attach(device, scene_->handle, *meshes[i], id);
            scene_->attached[i] = is_there;
        } else if (is_there) {
            rtcEnableGeometry(rtcGetGeometry(scene_->handle, id));
        } else {
            rtcDisableGeometry(rtcGetGeometry(scene_->handle, id));
        }
    }
    rtcCommitScene(scene_->handle);
    if (rtcGetDeviceError(device) != RTC_ERROR_NONE)
        throw std::runtime_error("the ray tracer could not build the scene");
}

RayQuery::~RayQuery() = default;
RayQuery::RayQuery(RayQuery&&) noexcept = default;
RayQuery& RayQuery::operator=(RayQuery&&) noexcept = default;

HitPacket RayQuery::closest(const RayPacket& rays) const {
    HitPacket hits;
    RTCIntersectContext context = context_for(rays);
    if (shared_device().native16) {
        closest_part<RTCRayHit16, 16>(rays, 0, hits, [&](const int* valid, RTCRayHit16& packet) {
            rtcIntersect16(valid, scene_->handle, &context, &packet);
        });
        return hits;
    }
    const auto call = [&](const int* valid, RTCRayHit8& packet) {
        rtcIntersect8(valid, scene_->handle, &context, &packet);
    };
    if ((rays.active & low_half) != 0) closest_part<RTCRayHit8, 8>(rays, 0, hits, call);
    if ((rays.active & high_half) != 0) closest_part<RTCRayHit8, 8>(rays, 8, hits, call);
    return hits;
}

LaneMask RayQuery::occluded(const RayPacket& rays) const {
    RTCIntersectContext context = context_for(rays);
    if (shared_device().native16)
        return occluded_part<RTCRay16, 16>(rays, 0, [&](const int* valid, RTCRay16& packet) {
            rtcOccluded16(valid, scene_->handle, &context, &packet);
        });
    const auto call = [&](const int* valid, RTCRay8& packet) {
        rtcOccluded8(valid, scene_->handle, &context, &packet);
    };
    LaneMask blocked = 0;
    if ((rays.active & low_half) != 0) blocked |= occluded_part<RTCRay8, 8>(rays, 0, call);
    if ((rays.active & high_half) != 0) blocked |= occluded_part<RTCRay8, 8>(rays, 8, call);
    return blocked;
}

}  // namespace lampflight
