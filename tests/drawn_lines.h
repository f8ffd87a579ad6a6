// What tests of drawn lines share: a camera that sees nothing but the sky, straight flights, and
// the light of a lamp on film by how long it burns there.
#pragma once

#include <doctest/doctest.h>

#include <cmath>
#include <string>
#include <vector>

#include "scene/camera/camera.h"
#include "tests/film.h"

namespace lampflight {

/// A camera on the ground that looks north and up at a place, with a frame of so many metres there.
/// All of the ground lies behind its frame.
inline void look_up(Camera& camera, const Vec3& middle_m, double frame_m) {
    camera.position_m = {middle_m.x, 0.0, 1.6};
    camera.look_at_m = middle_m;
    camera.focus_m = glm::distance(middle_m, camera.position_m);
    camera.sensor_mm = {36.0, 36.0 * camera.pixels.y / camera.pixels.x};
    camera.focal_mm = 36.0 * camera.focus_m / frame_m;
}

inline Flight straight_flight(const Vec3& from_m, const Vec3& to_m, double speed_m_s) {
    Flight flight;
    flight.shape = FlightShape::line;
    flight.from_m = from_m;
    flight.to_m = to_m;
    flight.speed_m_s = speed_m_s;
    return flight;
}

inline Flight cornered_flight(const std::vector<Vec3>& corners_m, double speed_m_s) {
    Flight flight;
    flight.shape = FlightShape::waypoints;
    for (const Vec3& at_m : corners_m) flight.path.push_back(Waypoint{at_m});
    flight.speed_m_s = speed_m_s;
    return flight;
}

/// Lux seconds times mm2 of film that a lamp leaves in a second: I A cos(theta) / d^2 lumens
/// through a pupil of A = (pi/4) (f/N)^2, of which the glass passes T and the axis' natural falloff
/// of ISO 12232 v = 0.98.
inline double drawn_lx_mm2(const Camera& camera, double intensity_cd, const Vec3& lamp_m) {
    const Vec3 to_lamp = lamp_m - camera.position_m;
    const Vec3 axis = glm::normalize(*camera.look_at_m - camera.position_m);
    const double pupil_mm = camera.focal_mm / camera.f_number;
    const double cosine = glm::dot(glm::normalize(to_lamp), axis);
    return 0.98 * camera.lens.transmission * pi / 4.0 * pupil_mm * pupil_mm * intensity_cd *
           cosine / glm::dot(to_lamp, to_lamp);
}

/// All light of a film, in lux seconds times mm2.
inline double drawn_lxs_mm2(const Camera& camera, const Image& film) {
    const Vec2 pitch_mm = pixel_pitch_mm(camera);
    return sum_of(film) * pitch_mm.x * pitch_mm.y;
}

inline Image sum_of_films(const std::vector<Image>& films) {
    Image sum = films.front();
    for (std::size_t k = 1; k < films.size(); ++k)
        for (std::size_t i = 0; i < sum.pixels.size(); ++i) sum.pixels[i] += films[k].pixels[i];
    return sum;
}

/// How far one film is from another: relative difference of the sums, and of the pixels, rms over
/// their mean.
struct FilmError {
    double sum;
    double pixels;
};

inline FilmError film_error(const Image& film, const Image& truth) {
    REQUIRE(film.pixels.size() == truth.pixels.size());
    REQUIRE(sum_of(truth) > 0.0);
    double squares = 0.0;
    for (std::size_t i = 0; i < film.pixels.size(); ++i) {
        const double apart = luminance_of(film.pixels[i]) - luminance_of(truth.pixels[i]);
        squares += apart * apart;
    }
    const auto count = static_cast<double>(film.pixels.size());
    return {sum_of(film) / sum_of(truth) - 1.0, std::sqrt(squares / count) * count / sum_of(truth)};
}

/// `sums` and `pixels` are what is allowed of each.
inline void check_same_film(const std::string& what, const Image& film, const Image& truth,
                            double sums, double pixels) {
    const FilmError error = film_error(film, truth);
    MESSAGE(what, ": sum off by ", 100.0 * error.sum, " %, pixels by ", 100.0 * error.pixels, " %");
    CHECK_MESSAGE(std::abs(error.sum) <= sums, what);
    CHECK_MESSAGE(error.pixels <= pixels, what);
}

}  // namespace lampflight
