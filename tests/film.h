// Shoots made by hand, and light read back off their film: what every test of rendered light needs.
#pragma once

#include <doctest/doctest.h>

#include <cmath>
#include <string>
#include <utility>
#include <vector>

#include "renderer/expose/expose.h"
#include "renderer/lens/sparse_image.h"
#include "scene/basics/angle.h"

namespace lampflight {

constexpr double ground_reflectance = 0.4;

/// Level, even, grey ground under a black sky, with one take that is named "take".
inline PlacedShoot dark_shoot(const glm::ivec2& pixels) {
    PlacedShoot shoot;
    shoot.sky.horizontal_lx = 0.0;
    shoot.ground.kind = GroundKind::flat;
    shoot.ground.reflectance = Rgb(ground_reflectance);
    shoot.camera.pixels = pixels;
    // Settings of many a flown lamp: common practice, no source.
    shoot.camera.focal_mm = 14.0;
    shoot.camera.f_number = 13.0;
    shoot.camera.iso = 1600.0;
    shoot.camera.shutter_s = 15.0;
    Take take;
    take.name = "take";
    shoot.takes = {take};
    shoot.photograph.takes = {"take"};
    return shoot;
}

/// A camera that looks straight down on a square patch of ground.
inline void look_down(Camera& camera, const Vec2& middle_m, double patch_m) {
    constexpr double height_m = 30.0;
    camera.position_m = Vec3(middle_m, height_m);
    camera.look_at_m = Vec3(middle_m, 0.0);
    camera.sensor_mm = {24.0, 24.0 * camera.pixels.y / camera.pixels.x};
    camera.focal_mm = camera.sensor_mm.x * height_m / patch_m;
}

/// A lamp of so many candela, alike all round; `name` is also its layers'.
inline Lamp bare_lamp(const std::string& name, double intensity_cd) {
    Lamp lamp;
    lamp.name = name;
    lamp.flux_lm = 4.0 * pi * intensity_cd;
    lamp.beam_deg = 360.0;
    lamp.spill = 0.0;
    return lamp;
}

/// A lamp with the lobe I0 cos^m and no spill: the inverse of the beam's formula.
inline Lamp lobe_lamp(const std::string& name, double peak_cd, double exponent) {
    Lamp lamp;
    lamp.name = name;
    lamp.flux_lm = peak_cd * 2.0 * pi / (exponent + 1.0);
    lamp.beam_deg = degrees(2.0 * std::acos(std::pow(0.5, 1.0 / exponent)));
    lamp.spill = 0.0;
    return lamp;
}

/// Adds a lamp that flies in the first take.
inline void fly(Shoot& shoot, const Lamp& lamp, Flight flight) {
    flight.name = lamp.name + "'s flight";
    flight.carries = {lamp.name};
    shoot.lamps.push_back(lamp);
    shoot.takes.front().flights.push_back(flight.name);
    shoot.flights.push_back(std::move(flight));
}

/// Adds a lamp that stands.
inline void stand(Shoot& shoot, Lamp lamp, const Vec3& position_m) {
    lamp.position_m = position_m;
    shoot.lamps.push_back(std::move(lamp));
}

inline void add_subject(PlacedShoot& shoot, const std::string& name, Mesh mesh) {
    shoot.subjects.emplace_back().name = name;
    shoot.meshes.push_back(std::move(mesh));
}

/// The first take's film.
inline ExposedTake exposed(const PlacedShoot& shoot, const RenderSettings& settings) {
    auto takes = expose(shoot, settings);
    REQUIRE(takes.has_value());
    REQUIRE_FALSE(takes->empty());
    return std::move(takes->front());
}

inline Image layer_of(const ExposedTake& take, const std::string& name) {
    for (const Layer& layer : take.layers)
        if (layer.id.text() == name) return picture_lxs(layer, take.pixels);
    FAIL("no layer ", name);
    return {};
}

inline double luminance_of(const glm::vec3& colour) {
    return luminance(Rgb(colour));
}

/// What fell on a diffuse surface to leave this on a pixel: E = pi N^2 H / (q rho), in lux seconds.
inline double arrived_lxs(const Camera& camera, const Image& film, int x, int y,
                          double reflectance = ground_reflectance) {
    const double q =
        lens_factor(camera.lens.transmission, Projection(camera).cos_off_axis({x + 0.5, y + 0.5}));
    return pi * camera.f_number * camera.f_number * luminance_of(film.at(x, y)) / (q * reflectance);
}

/// The same, as the mean over the film.
inline double mean_arrived_lxs(const Camera& camera, const Image& film,
                               double reflectance = ground_reflectance) {
    double sum = 0.0;
    for (int y = 0; y < film.height; ++y)
        for (int x = 0; x < film.width; ++x) sum += arrived_lxs(camera, film, x, y, reflectance);
    return sum / (static_cast<double>(film.width) * film.height);
}

/// The pixels of a film that are not dark.
inline SparseImage lit_of(const Image& film) {
    SparseImage lit({film.width, film.height});
    for (int y = 0; y < film.height; ++y)
        for (int x = 0; x < film.width; ++x)
            if (film.at(x, y) != glm::vec3(0.0f))
                lit.rows[static_cast<std::size_t>(y)].push_back({x, film.at(x, y)});
    return lit;
}

inline double sum_of(const Image& film) {
    double sum = 0.0;
    for (const glm::vec3& pixel : film.pixels) sum += luminance_of(pixel);
    return sum;
}

}  // namespace lampflight
