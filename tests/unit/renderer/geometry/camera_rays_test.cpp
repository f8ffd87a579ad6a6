#include "renderer/geometry/camera_rays.h"

#include <algorithm>
#include <bit>
#include <limits>
#include <set>
#include <span>
#include <utility>
#include <vector>

#include "renderer/sampling/low_discrepancy.h"
#include "tests/film.h"
#include "tests/icosphere.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

constexpr Effort good = effort_of(Quality::good);

/// Balls on a sheet of ground with dark and pale squares of 0.3 m in no order; nothing beyond.
struct Scene {
    std::vector<Mesh> meshes;
    Shoot shoot = dark_shoot({84, 60});
    Geometry geometry;

    static std::vector<Mesh> made(int balls) {
        std::vector<Mesh> meshes;
        Mesh ground;
        ground.materials = {{Rgb(0.05), SurfaceRelief::none}, {Rgb(0.8), SurfaceRelief::none}};
        constexpr int side = 40;
        for (int y = 0; y <= side; ++y)
            for (int x = 0; x <= side; ++x) {
                ground.positions.emplace_back(0.3f * static_cast<float>(x) - 6.0f,
                                              0.3f * static_cast<float>(y) - 6.0f, 0.0f);
                ground.normals.emplace_back(0.0f, 0.0f, 1.0f);
            }
        for (std::uint32_t y = 0; y < side; ++y)
            for (std::uint32_t x = 0; x < side; ++x) {
                const std::uint32_t a = y * (side + 1) + x;
                ground.triangles.push_back({a, a + 1, a + side + 2});
                ground.triangles.push_back({a, a + side + 2, a + side + 1});
                ground.material_of.insert(ground.material_of.end(), 2,
                                          static_cast<std::uint16_t>(hash_of(x, y) % 2));
            }
        meshes.push_back(std::move(ground));
        for (int k = 0; k < balls; ++k)
            meshes.push_back(
                icosphere({-2.4 + 1.1 * (k % 5), -1.5 + 1.3 * (k / 5), 0.35}, 0.3, 4, false));
        return meshes;
    }

    static std::vector<const Mesh*> all_of(const std::vector<Mesh>& meshes) {
        std::vector<const Mesh*> list;
        for (const Mesh& mesh : meshes) list.push_back(&mesh);
        return list;
    }

    explicit Scene(int balls) : meshes(made(balls)), geometry(all_of(meshes)) {
        shoot.camera.position_m = {0.3, -7.5, 2.2};
        shoot.camera.look_at_m = Vec3(0.0, 0.0, 0.9);
        shoot.camera.focal_mm = 24.0;
    }

    CameraRays camera_rays(const Effort& effort) const { return {shoot.camera, geometry, effort}; }

    /// Calls `each(view)` for every tile of the film.
    template <class Each>
    void see_all(const CameraRays& camera_rays, Each each) const {
        TileView view;
        for (int y = 0; y < shoot.camera.pixels.y; y += tile_side_px)
            for (int x = 0; x < shoot.camera.pixels.x; x += tile_side_px) {
                camera_rays.see({x, y}, view);
                each(view);
            }
    }
};

/// Means over the film.
struct Means {
    double reflectance = 0.0;
    double surface = 0.0;  ///< share of the film
    double samples = 0.0;  ///< a pixel

    Means& operator+=(const Means& more) {
        reflectance += more.reflectance;
        surface += more.surface;
        samples += more.samples;
        return *this;
    }
};

/// The samples that every pixel has.
std::span<const SurfacePacket> first_samples(const BlockSurfaces& samples) {
    return std::span(samples).first(
        std::min<std::size_t>(samples.size(), static_cast<std::size_t>(good.plain_samples)));
}

Means means_of(const Scene& scene, const Effort& effort) {
    Means means;
    const CameraRays camera_rays = scene.camera_rays(effort);
    int pixels = 0;
    scene.see_all(camera_rays, [&](const TileView& view) {
        for (std::size_t b = 0; b < tile_blocks; ++b)
            for (int i = 0; i < packet_size; ++i) {
                const std::size_t p = tile_pixel(b, i);
                if (!camera_rays.in_film(view.corner_px + place_in_tile(p))) continue;
                ++pixels;
                means.samples += view.samples[b][static_cast<std::size_t>(i)];
                for (const SurfacePacket& points : view.blocks[b]) {
                    if (!has_lane(points.found, i)) continue;
                    const auto share = static_cast<double>(view.sample_share(b, i));
                    means.surface += share;
                    means.reflectance += share * luminance_of(points.reflectance.at(i));
                }
            }
    });
    for (double* mean : {&means.reflectance, &means.surface, &means.samples}) *mean /= pixels;
    return means;
}

}  // namespace

TEST_CASE("film samples: each place once, two by two opposite") {
    const Scene scene(0);
    for (const int count : {4, 8, 16}) {
        Effort effort = good;
        effort.film_samples = count;
        const CameraRays camera_rays = scene.camera_rays(effort);
        std::set<std::pair<float, float>> all;
        for (int k = 0; k < count; ++k) {
            const glm::vec2 place = film_sample_place(k, count);
            CHECK(all.emplace(place.x, place.y).second);
        }
        for (int lane = 0; lane < packet_size; ++lane) {
            std::set<std::pair<float, float>> seen;
            for (int sample = 0; sample < count; ++sample) {
                const glm::vec2 place = camera_rays.sample_place(sample, lane);
                seen.emplace(place.x, place.y);
                if (sample % 2 == 0)
                    CHECK(place + camera_rays.sample_place(sample + 1, lane) == glm::vec2(1.0f));
            }
            CHECK(seen == all);
        }
        // The first pair of a block's pixels: all pairs, each as often.
        std::multiset<std::pair<float, float>> firsts;
        for (int lane = 0; lane < packet_size; ++lane)
            for (const int sample : {0, 1}) {
                const glm::vec2 place = camera_rays.sample_place(sample, lane);
                firsts.emplace(place.x, place.y);
            }
        for (const auto& place : all)
            CHECK(firsts.count(place) == static_cast<std::size_t>(32 / count));
    }
}

TEST_CASE("open ground and open sky take the few samples, the horizon all") {
    const Scene scene(0);
    const CameraRays camera_rays = scene.camera_rays(good);
    int ground = 0, open_sky = 0, horizon = 0;
    scene.see_all(camera_rays, [&](const TileView& view) {
        for (std::size_t b = 0; b < tile_blocks; ++b) {
            if (view.blocks[b].empty()) continue;
            bool sky = true, surface = true;
            for (const SurfacePacket& points : first_samples(view.blocks[b])) {
                sky = sky && points.found == 0;
                surface = surface && points.found == all_lanes;
            }
            CHECK(view.plain[b] == (sky || surface));
            // Beside the edge, which is one pixel high, a row on either side.
            const auto few = std::ranges::count(view.samples[b], good.plain_samples);
            const auto all = std::ranges::count(view.samples[b], good.film_samples);
            CHECK(few + all == packet_size);
            CHECK((view.plain[b] ? all == 0 : all > 0));
            ++(sky ? open_sky : surface ? ground : horizon);
        }
    });
    CHECK(ground > 50);
    CHECK(open_sky > 50);
    CHECK(horizon >= 21);  // a row of blocks across the film
}

TEST_CASE("pixels where balls meet the ground, and those beside them, take all samples") {
    const Scene scene(20);
    const CameraRays camera_rays = scene.camera_rays(good);
    int meeting = 0, few = 0;
    scene.see_all(camera_rays, [&](const TileView& view) {
        const auto meshes_about = [&](const glm::ivec2& pixel) {
            std::set<std::uint32_t> meshes;
            for (int y = std::max(0, pixel.y - 1); y <= std::min(tile_side_px - 1, pixel.y + 1);
                 ++y)
                for (int x = std::max(0, pixel.x - 1); x <= std::min(tile_side_px - 1, pixel.x + 1);
                     ++x) {
                    const auto [block, lane] = lane_in_tile({x, y});
                    for (const SurfacePacket& points : first_samples(view.blocks[block]))
                        if (has_lane(points.found, lane))
                            meshes.insert(points.mesh[static_cast<std::size_t>(lane)]);
                }
            return meshes.size();
        };
        for (std::size_t pixel = 0; pixel < tile_pixels; ++pixel) {
            const auto [block, lane] = lane_in_tile(place_in_tile(pixel));
            const int samples = view.samples[block][static_cast<std::size_t>(lane)];
            if (samples == 0 || view.plain[block]) continue;
            if (meshes_about(place_in_tile(pixel)) > 1) {
                ++meeting;
                CHECK(samples == good.film_samples);
            } else if (samples == good.plain_samples) {
                ++few;
            }
        }
    });
    CHECK(meeting >= 300);
    CHECK(few >= 150);  // in the same blocks
}

TEST_CASE("light of the sky is that of the film samples which meet nothing") {
    const Scene scene(20);
    const CameraRays camera_rays = scene.camera_rays(good);
    int shared = 0;
    scene.see_all(camera_rays, [&](const TileView& view) {
        for (std::size_t b = 0; b < tile_blocks; ++b)
            for (int i = 0; i < packet_size; ++i) {
                const glm::ivec2 at_px = view.corner_px + place_in_tile(tile_pixel(b, i));
                if (!camera_rays.in_film(at_px)) continue;
                int open = 0;
                const int count = view.samples[b][static_cast<std::size_t>(i)];
                for (int sample = 0; sample < count; ++sample)
                    open +=
                        has_lane(view.blocks[b][static_cast<std::size_t>(sample)].found, i) ? 0 : 1;
                CHECK_WITHIN(static_cast<double>(view.sky_share[tile_pixel(b, i)]),
                             static_cast<double>(open) / count, 1e-6);
                if (open > 0 && open < count) ++shared;
            }
    });
    CHECK(shared > 60);  // the horizon, but for what balls hide
}

TEST_CASE("what hangs over the film's edge is neither seen nor counted") {
    Scene scene(20);
    for (const glm::ivec2& pixels : {glm::ivec2(42, 30), {33, 5}, {1, 1}, {31, 33}}) {
        scene.shoot.camera.pixels = pixels;
        const CameraRays camera_rays = scene.camera_rays(good);
        int seen = 0;
        scene.see_all(camera_rays, [&](const TileView& view) {
            for (std::size_t b = 0; b < tile_blocks; ++b) {
                LaneMask in_film = 0;
                for (int i = 0; i < packet_size; ++i) {
                    const std::size_t p = tile_pixel(b, i);
                    if (camera_rays.in_film(view.corner_px + place_in_tile(p))) {
                        in_film |= 1u << i;
                        ++seen;
                    } else {
                        CHECK(view.sky_share[p] == 0.0f);
                    }
                }
                if (in_film == 0) {
                    CHECK(view.blocks[b].empty());
                    CHECK(view.sample_share(b, 0) == 0.0f);
                }
                for (const SurfacePacket& points : view.blocks[b])
                    CHECK((points.found & ~in_film) == 0);
            }
        });
        CHECK(seen == pixels.x * pixels.y);
    }
}

TEST_CASE("a view holds nothing of the tile before") {
    const Scene scene(20);
    const CameraRays camera_rays = scene.camera_rays(good);
    TileView used, fresh;
    camera_rays.see({32, 32}, used);
    camera_rays.see({0, 0}, used);
    camera_rays.see({0, 0}, fresh);
    CHECK(used.sky_share == fresh.sky_share);
    CHECK(used.plain == fresh.plain);
    CHECK(used.samples == fresh.samples);
    for (std::size_t b = 0; b < tile_blocks; ++b)
        REQUIRE(used.blocks[b].size() == fresh.blocks[b].size());
}

// A pixel of few samples errs where squares lie finer than pixels: by some 0.5 % of the mean of one
// film, to either side. Twelve films from places of their own leave 0.15 %. Pixels where surfaces
// meet the sky take all samples, so that only a wrong guess could move their edge.
TEST_CASE("few samples where there is one surface leave the mean of a film as it is") {
    Scene scene(20);
    for (const Quality quality : {Quality::draft, Quality::good, Quality::fine}) {
        Means few, all;
        for (int k = 0; k < 12; ++k) {
            scene.shoot.camera.position_m.x = -1.7 + 0.37 * k;
            Effort effort = effort_of(quality);
            few += means_of(scene, effort);
            effort.plain_samples = effort.film_samples;
            all += means_of(scene, effort);
        }
        CHECK_WITHIN(all.samples, 12.0 * effort_of(quality).film_samples, 1e-9);
        CHECK(few.samples < 0.85 * all.samples);
        INFO("off by ", (few.reflectance / all.reflectance - 1.0));
        CHECK_RELATIVE(few.reflectance, all.reflectance, 4e-3);
        CHECK_RELATIVE(few.surface, all.surface, 1e-3);
    }
}
