// Bodies as OBJ text, with corners that the faces share or with corners of each face's own.
#pragma once

#include <cmath>
#include <cstddef>
#include <string>
#include <vector>

#include <fmt/format.h>

#include "scene/basics/angle.h"
#include "scene/basics/vector.h"

namespace lampflight {

struct ObjShape {
    std::vector<Vec3> corners_m;
    std::vector<std::vector<std::size_t>> faces;  ///< anticlockwise seen from outside
};

inline ObjShape box_shape(const Vec3& low_m, const Vec3& high_m) {
    ObjShape box;
    for (const double z : {low_m.z, high_m.z})
        for (const double y : {low_m.y, high_m.y})
            for (const double x : {low_m.x, high_m.x}) box.corners_m.emplace_back(x, y, z);
    box.faces = {{0, 2, 3, 1}, {4, 5, 7, 6}, {0, 1, 5, 4},
                 {2, 6, 7, 3}, {0, 4, 6, 2}, {1, 3, 7, 5}};
    return box;
}

/// A prism on a regular polygon, its ends one face each.
inline ObjShape pole_shape(std::size_t sides, double radius_m, double height_m) {
    ObjShape pole;
    for (const double z : {0.0, height_m})
        for (std::size_t i = 0; i < sides; ++i) {
            const double turn_rad = 2.0 * pi * static_cast<double>(i) / static_cast<double>(sides);
            pole.corners_m.emplace_back(radius_m * std::cos(turn_rad),
                                        radius_m * std::sin(turn_rad), z);
        }
    pole.faces.resize(2);
    for (std::size_t i = 0; i < sides; ++i) {
        const std::size_t next = (i + 1) % sides;
        pole.faces[0].push_back(sides - 1 - i);
        pole.faces[1].push_back(sides + i);
        pole.faces.push_back({i, next, sides + next, sides + i});
    }
    return pole;
}

inline std::string vertex_line(const Vec3& corner_m) {
    return fmt::format("v {:.9g} {:.9g} {:.9g}\n", corner_m.x, corner_m.y, corner_m.z);
}

inline std::string with_shared_corners(const ObjShape& shape) {
    std::string text;
    for (const Vec3& corner_m : shape.corners_m) text += vertex_line(corner_m);
    for (const auto& face : shape.faces) {
        text += 'f';
        for (const std::size_t corner : face) text += fmt::format(" {}", corner + 1);
        text += '\n';
    }
    return text;
}

inline std::string with_own_corners(const ObjShape& shape) {
    std::string text;
    for (const auto& face : shape.faces) {
        for (const std::size_t corner : face) text += vertex_line(shape.corners_m[corner]);
        text += 'f';
        for (std::size_t k = 0; k < face.size(); ++k) text += fmt::format(" -{}", face.size() - k);
        text += '\n';
    }
    return text;
}

}  // namespace lampflight
