#include "tests/reference/light_path.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "scene/basics/angle.h"

namespace lampflight {

Vec3 about_axis(const Vec3& axis, double cosine, double turn) {
    const Vec3 any = std::abs(axis.z) < 0.9 ? Vec3(0, 0, 1) : Vec3(1, 0, 0);
    const Vec3 right = glm::normalize(glm::cross(any, axis));
    const Vec3 up = glm::cross(axis, right);
    const double sine = std::sqrt(std::max(0.0, 1.0 - cosine * cosine));
    const double angle_rad = 2.0 * pi * turn;
    return cosine * axis + sine * (std::cos(angle_rad) * right + std::sin(angle_rad) * up);
}

Vec3 diffuse_direction(const Vec3& normal, const Vec2& place) {
    return about_axis(normal, std::sqrt(place.x), place.y);
}

StandingLamp::StandingLamp(const PlacedShoot& shoot, const LitLamp& lit)
    : beam_(*lit.lamp),
      position_m_(lit.position_m(0.0)),
      aim_(aim_direction(lit, aim_targets(shoot, lit), 0.0)),
      face_radius_m_(lit.lamp->face_mm / 2000.0),
      weighted_s_(lit.lit_s() * lit.flux_scale),
      colour_(lamp_colour(*lit.lamp)) {
    const double lobe_lm = 2.0 * pi * beam_.peak_cd() / (beam_.exponent() + 1.0);
    flux_lm_ = lobe_lm + 4.0 * pi * beam_.even_cd();
    lobe_share_ = lobe_lm / flux_lm_;
}

double StandingLamp::intensity_cd(const Vec3& direction) const {
    return beam_.intensity_cd(glm::dot(direction, aim_));
}

Vec3 StandingLamp::direction(const Vec2& place) const {
    if (place.x < lobe_share_)
        return about_axis(aim_, std::pow(place.x / lobe_share_, 1.0 / (beam_.exponent() + 1.0)),
                          place.y);
    return about_axis(aim_, 1.0 - 2.0 * (place.x - lobe_share_) / (1.0 - lobe_share_), place.y);
}

Vec3 StandingLamp::on_face(const Vec3& point_m, const Vec2& place) const {
    const Vec3 towards = glm::normalize(point_m - position_m_);
    return position_m_ + face_radius_m_ * std::sqrt(place.x) * about_axis(towards, 0.0, place.y);
}

PathVertex vertex_of(const SurfacePacket& surfaces, int lane) {
    return {Vec3(surfaces.position_m.at(lane)), Vec3(surfaces.normal.at(lane)),
            Vec3(surfaces.face_normal.at(lane)), Rgb(surfaces.reflectance.at(lane))};
}

Vec3 off_surface(const PathVertex& vertex) {
    return vertex.position_m +
           static_cast<double>(ray_offset_m(glm::vec3(vertex.position_m))) * vertex.face_normal;
}

Rgb share_of_path(const StandingLamp& lamp, std::span<const PathVertex* const> path) {
    const std::size_t between = path.size() - 1;
    std::array<double, most_bounces_of_path> from_lamp{}, from_lens{};  // densities by area
    Rgb light = lamp.colour();
    Vec3 before_m = lamp.position_m();
    for (std::size_t i = 0; i < path.size(); ++i) {
        const PathVertex& to = *path[i];
        const Vec3 way_m = to.position_m - before_m;
        const double square_m2 = glm::dot(way_m, way_m);
        const Vec3 ray = way_m / std::sqrt(square_m2);
        const double arriving = -glm::dot(ray, to.normal);
        const double onto_face = -glm::dot(ray, to.face_normal);
        if (!(arriving > 0.0) || onto_face <= 0.0) return Rgb(0.0);
        if (i == 0) {
            const double candela = lamp.intensity_cd(ray);
            light *= candela * arriving / square_m2;
            if (between > 0) from_lamp[0] = candela / lamp.flux_lm() * onto_face / square_m2;
        } else {
            const PathVertex& from = *path[i - 1];
            const double leaving = glm::dot(ray, from.face_normal);
            if (leaving <= 0.0) return Rgb(0.0);
            light *= from.reflectance * (arriving * leaving / (pi * square_m2));
            from_lens[i - 1] = arriving * leaving / (pi * square_m2);
            if (i < between)
                from_lamp[i] =
                    std::max(0.0, glm::dot(ray, from.normal)) * onto_face / (pi * square_m2);
        }
        before_m = to.position_m;
    }
    double densities = 0.0;
    for (std::size_t by_lamp = 0; by_lamp <= between; ++by_lamp) {
        double density = 1.0;
        for (std::size_t i = 0; i < between; ++i)
            density *= i < by_lamp ? from_lamp[i] : from_lens[i];
        densities += density;
    }
    return densities > 0.0 ? light / densities : Rgb(0.0);
}

}  // namespace lampflight
