#include "renderer/geometry/hit_triangles.h"

#include <algorithm>
#include <cmath>

namespace lampflight {

void set_face_normals(const HitTriangles& triangles, const RayPacket& rays, LaneVectors& face) {
    const auto& [a, b, c] = triangles.position_m;
    for (int i = 0; i < packet_size; ++i) {
        const float bx = b.x[i] - a.x[i], by = b.y[i] - a.y[i], bz = b.z[i] - a.z[i];
        const float cx = c.x[i] - a.x[i], cy = c.y[i] - a.y[i], cz = c.z[i] - a.z[i];
        const float x = by * cz - bz * cy, y = bz * cx - bx * cz, z = bx * cy - by * cx;
        const float towards =
            x * rays.direction.x[i] + y * rays.direction.y[i] + z * rays.direction.z[i];
        const float size = std::sqrt(x * x + y * y + z * z);
        const float scale = size > 0.0f ? (towards > 0.0f ? -1.0f : 1.0f) / size : 0.0f;
        face.x[i] = x * scale;
        face.y[i] = y * scale;
        face.z[i] = z * scale;
    }
}

void set_normals(const HitTriangles& triangles, const HitPacket& hits, const LaneVectors& face,
                 LaneVectors& normal) {
    const auto& [a, b, c] = triangles.normal;
    for (int i = 0; i < packet_size; ++i) {
        const float u = hits.u[i], v = hits.v[i], w = 1.0f - u - v;
        const float x = w * a.x[i] + u * b.x[i] + v * c.x[i];
        const float y = w * a.y[i] + u * b.y[i] + v * c.y[i];
        const float z = w * a.z[i] + u * b.z[i] + v * c.z[i];
        const float along = x * face.x[i] + y * face.y[i] + z * face.z[i];
        const float size = std::sqrt(x * x + y * y + z * z);
        const float scale = size > 0.0f ? (along < 0.0f ? -1.0f : 1.0f) / size : 0.0f;
        normal.x[i] = x * scale;
        normal.y[i] = y * scale;
        normal.z[i] = z * scale;
    }
}

void set_positions(const HitTriangles& triangles, const HitPacket& hits, LaneVectors& position_m) {
    const auto& [a, b, c] = triangles.position_m;
    for (int i = 0; i < packet_size; ++i) {
        const float u = hits.u[i], v = hits.v[i], w = 1.0f - u - v;
        position_m.x[i] = w * a.x[i] + u * b.x[i] + v * c.x[i];
        position_m.y[i] = w * a.y[i] + u * b.y[i] + v * c.y[i];
        position_m.z[i] = w * a.z[i] + u * b.z[i] + v * c.z[i];
    }
}

void set_bulges(const HitTriangles& triangles, const HitPacket& hits, SurfacePacket& found) {
    LaneVectors& bulge_m = found.bulge_m;
    std::array<Lanes, 3> weight{{{}, hits.u, hits.v}};
    Lanes side;  // 1 on the side that the mesh's normals show, else -1
    for (int i = 0; i < packet_size; ++i) {
        weight[0][i] = 1.0f - hits.u[i] - hits.v[i];
        float along = 0.0f;
        for (std::size_t k = 0; k < 3; ++k) {
            const LaneVectors& n = triangles.normal[k];
            along +=
                weight[k][i] * (n.x[i] * found.face_normal.x[i] + n.y[i] * found.face_normal.y[i] +
                                n.z[i] * found.face_normal.z[i]);
        }
        side[i] = along < 0.0f ? -1.0f : 1.0f;
        bulge_m.x[i] = bulge_m.y[i] = bulge_m.z[i] = 0.0f;
    }
    for (std::size_t k = 0; k < 3; ++k) {
        const LaneVectors& n = triangles.normal[k];
        const LaneVectors& corner_m = triangles.position_m[k];
        const LaneVectors& more_m = triangles.bulge_m[k];
        for (int i = 0; i < packet_size; ++i) {
            const float above_m = side[i] * ((found.position_m.x[i] - corner_m.x[i]) * n.x[i] +
                                             (found.position_m.y[i] - corner_m.y[i]) * n.y[i] +
                                             (found.position_m.z[i] - corner_m.z[i]) * n.z[i]);
            const float lift_m = -side[i] * weight[k][i] * std::min(above_m, 0.0f);
            const float of_more = side[i] > 0.0f ? weight[k][i] : 0.0f;
            bulge_m.x[i] += lift_m * n.x[i] + of_more * more_m.x[i];
            bulge_m.y[i] += lift_m * n.y[i] + of_more * more_m.y[i];
            bulge_m.z[i] += lift_m * n.z[i] + of_more * more_m.z[i];
        }
    }
    for (int i = 0; i < packet_size; ++i) {
        // Less than a ray's first step off the surface is no matter.
        const float step_m = ray_offset_m(found.position_m.at(i));
        const float x = bulge_m.x[i], y = bulge_m.y[i], z = bulge_m.z[i];
        const float keep = x * x + y * y + z * z > step_m * step_m ? 1.0f : 0.0f;
        bulge_m.x[i] = keep * x;
        bulge_m.y[i] = keep * y;
        bulge_m.z[i] = keep * z;
    }
}

}  // namespace lampflight
