// Film seen and lit by one lamp tile by tile, with what it cost; and the plain way beside it.
#pragma once

#include <algorithm>
#include <vector>

#include "renderer/lamp_light/lamp_tile.h"
#include "renderer/sampling/low_discrepancy.h"
#include "scene/shoot/lit_lamp.h"
#include "tests/film.h"

namespace lampflight {

inline LampTrack first_track(const Shoot& shoot) {
    return {lit_lamps(shoot, shoot.takes.front()).front(), {}};
}

/// A square sheet of grey at a height, with its face up.
inline Mesh level_sheet(double from_x_m, double to_x_m, double half_y_m, double height_m) {
    Mesh mesh;
    const auto z = static_cast<float>(height_m);
    const auto x0 = static_cast<float>(from_x_m), x1 = static_cast<float>(to_x_m);
    const auto y = static_cast<float>(half_y_m);
    mesh.positions = {{x0, -y, z}, {x1, -y, z}, {x1, y, z}, {x0, y, z}};
    mesh.normals.assign(4, {0.0f, 0.0f, 1.0f});
    mesh.triangles = {{0, 1, 2}, {0, 2, 3}};
    mesh.material_of = {0, 0};
    mesh.materials = {{Rgb(ground_reflectance), SurfaceRelief::none}};
    return mesh;
}

/// Luminance of a lamp's reflected light on film, in lux seconds but for 1/pi and the lens.
struct LitFilm {
    int width = 0;
    int height = 0;
    std::vector<double> reflected_lxs;
    double rays = 0.0;  ///< a pixel

    double at(int x, int y) const { return reflected_lxs[static_cast<std::size_t>(y * width + x)]; }
    double sum() const {
        double sum = 0.0;
        for (const double value : reflected_lxs) sum += value;
        return sum;
    }
};

/// Calls `lit(film_px, tile pixel, view)` tile by tile, after `light(view, seed)`.
template <class Light, class Each>
void for_each_pixel(const Shoot& shoot, const Geometry& geometry, const Effort& effort, Light light,
                    Each each) {
    const CameraRays camera_rays(shoot.camera, geometry, effort);
    const glm::ivec2 pixels = shoot.camera.pixels;
    TileView view;
    for (int y = 0; y < pixels.y; y += tile_side_px)
        for (int x = 0; x < pixels.x; x += tile_side_px) {
            camera_rays.see({x, y}, view);
            light(view, hash_of(static_cast<std::uint32_t>(x), static_cast<std::uint32_t>(y)));
            for (std::size_t p = 0; p < tile_pixels; ++p) {
                const glm::ivec2 film_px = glm::ivec2(x, y) + place_in_tile(p);
                if (camera_rays.in_film(film_px)) each(film_px, p, view);
            }
        }
}

/// The first lamp's light on a film, as the renderer finds it. The lens sees `geometry`; the lamp
/// is hidden by what `shadows` holds. `solved` has every pixel solved by itself, as where surfaces
/// meet.
inline LitFilm lit_film(const Shoot& shoot, const Geometry& geometry, const RayQuery& shadows,
                        const Effort& effort, bool solved = false) {
    const LampTrack track = first_track(shoot);
    const LegsOfLamp lamp{&track, legs_of(track)};
    LitFilm film{shoot.camera.pixels.x, shoot.camera.pixels.y, {}};
    film.reflected_lxs.resize(static_cast<std::size_t>(film.width * film.height));
    LampTile tile;
    std::uint64_t rays = 0;
    for_each_pixel(
        shoot, geometry, effort,
        [&](TileView& view, std::uint32_t seed) {
            if (solved) view.plain.fill(false);
            tile.begin(view, effort, seed);
            tile.light(lamp, shadows);
            rays += tile.rays();
        },
        [&](const glm::ivec2& at_px, std::size_t pixel, const TileView&) {
            film.reflected_lxs[static_cast<std::size_t>(at_px.y * film.width + at_px.x)] =
                luminance_of(tile.reflected_lxs(pixel));
        });
    film.rays = static_cast<double>(rays) / static_cast<double>(film.reflected_lxs.size());
    return film;
}

/// The same by still instants, even in lit time, at the middle of the lamp's face; with and
/// without what stands in the way.
struct PlainFilm {
    LitFilm lit;
    LitFilm unshadowed;
};

inline PlainFilm plain_film(const Shoot& shoot, const Geometry& geometry, const RayQuery& shadows,
                            const Effort& effort, int instants) {
    const LampTrack track = first_track(shoot);
    const float step_s = track.lit_s() / static_cast<float>(instants);
    LitFilm film{shoot.camera.pixels.x, shoot.camera.pixels.y, {}};
    film.reflected_lxs.resize(static_cast<std::size_t>(film.width * film.height));
    PlainFilm plain{film, film};
    const auto light = [&](const TileView& view, std::uint32_t seed) {
        for (std::size_t block = 0; block < tile_blocks; ++block)
            for (std::size_t j = 0; j < view.blocks[block].size(); ++j) {
                const SurfacePacket& points = view.blocks[block][j];
                if (points.found == 0) continue;
                const float shift = hashed_place(seed, static_cast<std::uint32_t>(16 * block + j));
                for (int k = 0; k < instants; ++k) {
                    ShadowRays lines{};
                    const LampInstant lamp = track.at(step_s * (static_cast<float>(k) + shift));
                    for (int i = 0; i < packet_size; ++i) {
                        if (has_lane(points.found, i)) lines.set(i, points, i, 0);
                        lines.lamp.position_m.set(i, lamp.position_m);
                        lines.lamp.aim.set(i, lamp.aim);
                        lines.rate_s[i] = step_s;
                    }
                    const ShadowTest seen = shadow_test(track, shadows, lines);
                    for (int i = 0; i < packet_size; ++i) {
                        if (!has_lane(points.found, i)) continue;
                        const glm::ivec2 at_px =
                            view.corner_px + place_in_tile(tile_pixel(block, i));
                        const auto p = static_cast<std::size_t>(at_px.y * film.width + at_px.x);
                        const double value =
                            luminance_of(points.reflectance.at(i) * track.flux_lm()) *
                            static_cast<double>(view.sample_share(block, i) * seen.light_lxs[i]);
                        plain.unshadowed.reflected_lxs[p] += value;
                        if (has_lane(seen.lit, i)) plain.lit.reflected_lxs[p] += value;
                    }
                }
            }
    };
    for_each_pixel(shoot, geometry, effort, light, [](auto&&...) {});
    return plain;
}

}  // namespace lampflight
