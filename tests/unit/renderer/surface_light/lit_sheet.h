// A flat sheet cut into even triangles: what tests of cached and bounced light are shone on.
#pragma once

#include "tests/film.h"

namespace lampflight {

/// Level, from a corner eastwards and northwards; `up` is 1 or -1, the side that it shows.
inline Mesh level_sheet(const glm::vec3& corner_m, const glm::vec2& size_m, const glm::ivec2& parts,
                        float up) {
    Mesh sheet;
    sheet.materials = {{Rgb(ground_reflectance), SurfaceRelief::none}};
    for (int y = 0; y <= parts.y; ++y)
        for (int x = 0; x <= parts.x; ++x) {
            const glm::vec2 share = glm::vec2(x, y) / glm::vec2(parts);
            sheet.positions.push_back(corner_m + glm::vec3(share * size_m, 0.0f));
            sheet.normals.push_back({0.0f, 0.0f, up});
        }
    const auto vertex = [&](int x, int y) {
        return static_cast<std::uint32_t>(y * (parts.x + 1) + x);
    };
    for (int y = 0; y < parts.y; ++y)
        for (int x = 0; x < parts.x; ++x) {
            sheet.triangles.push_back({vertex(x, y), vertex(x + 1, y), vertex(x + 1, y + 1)});
            sheet.triangles.push_back({vertex(x, y), vertex(x + 1, y + 1), vertex(x, y + 1)});
        }
    sheet.material_of.assign(sheet.triangles.size(), 0);
    return sheet;
}

}  // namespace lampflight
