// Beams of every width, flown and standing, over level ground: a whole film against the beam's
// definition, I(w) = I0 cos^m w with I0 = flux (m + 1) / 2 pi and m = ln 0.5 / ln cos(b / 2),
// integrated over the shutter here, in double precision and at the places where the film looks.
#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "renderer/geometry/camera_rays.h"
#include "tests/film.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

struct Width {
    double beam_deg, spill;
};
constexpr std::array widths{Width{1.0, 0.0},   Width{3.0, 0.02},  Width{10.0, 0.0},
                            Width{20.0, 0.02}, Width{30.0, 0.0},  Width{60.0, 0.0},
                            Width{120.0, 0.0}, Width{175.0, 0.02}};
constexpr double flux_lm = 900.0;
constexpr double shutter_s = 20.0;
constexpr glm::ivec2 film_px{96, 64};
constexpr int block_px = 8;

constexpr double allowed_of_sum = 0.001;
constexpr double allowed_of_block = 0.01;
constexpr double counted_share = 0.01;  // of the brightest block: dimmer ones are not judged

/// A lamp's way over the shutter, for the renderer and as a formula.
struct Way {
    std::string name;
    std::optional<Flight> flight;                  ///< none stands
    std::function<Vec3(double share)> position_m;  ///< by the share of the shutter
    std::optional<Vec3> target_m;                  ///< of its aim; down without
};

/// Clockwise from south, so many turns and metres up.
Way round(const std::string& name, FlightShape shape, double radius_m, double height_m,
          double turns, double rise_m) {
    Flight flight;
    flight.shape = shape;
    flight.radius_m = radius_m;
    flight.height_m = height_m;
    flight.turns = turns;
    flight.rise_m = rise_m;
    flight.lap_s = shutter_s / turns;
    return {name,
            flight,
            [=](double share) {
                const double bearing = pi + 2.0 * pi * turns * share;
                return Vec3(radius_m * std::sin(bearing), radius_m * std::cos(bearing),
                            height_m + rise_m * share);
            },
            {}};
}

Way straight(const Vec3& from_m, const Vec3& to_m) {
    Flight flight;
    flight.shape = FlightShape::line;
    flight.from_m = from_m;
    flight.to_m = to_m;
    flight.lap_s = shutter_s;
    return {"line", flight, [=](double share) { return from_m + share * (to_m - from_m); }, {}};
}

std::vector<Way> ways() {
    Way aimed = round("aimed circle", FlightShape::circle, 2.5, 3.0, 1.0, 0.0);
    aimed.target_m = Vec3(0.43, -0.29, 0.0);
    return {round("circle", FlightShape::circle, 2.5, 3.0, 1.0, 0.0),
            aimed,
            straight({-3.4, -1.2, 2.2}, {4.1, 1.9, 3.1}),
            round("spiral", FlightShape::helix, 1.3, 0.7, 3.0, 1.9),
            {"stand", {}, [](double) { return Vec3(0.31, -0.17, 3.0); }, {}}};
}

PlacedShoot shoot_of(const Way& way, const Width& width) {
    PlacedShoot shoot = dark_shoot(film_px);
    shoot.camera.shutter_s = shutter_s;
    look_down(shoot.camera, {0.0, 0.0}, 9.0);
    Lamp lamp;
    lamp.name = "lamp";
    lamp.flux_lm = flux_lm;
    lamp.beam_deg = width.beam_deg;
    lamp.spill = width.spill;
    if (way.target_m) {
        lamp.aim = AimAtSubject{"mark"};
        Mesh mark;  // a box needs no faces
        mark.positions = {glm::vec3(*way.target_m) - 0.1f, glm::vec3(*way.target_m) + 0.1f};
        mark.normals.assign(2, {0.0f, 0.0f, 1.0f});
        add_subject(shoot, "mark", mark);
    }
    if (way.flight)
        fly(shoot, lamp, *way.flight);
    else
        stand(shoot, lamp, way.position_m(0.0));
    return shoot;
}

/// Places and weights of Gauss's rule of five points on (0, 1); Abramowitz and Stegun, 25.4.30.
constexpr std::array<double, 5> gauss_place{0.046910077030668, 0.230765344947158, 0.5,
                                            0.769234655052842, 0.953089922969332};
constexpr std::array<double, 5> gauss_weight{
    0.118463442528095, 0.239314335249683, 0.284444444444444, 0.239314335249683, 0.118463442528095};

/// Illuminance over time on level ground.
class Ground {
public:
    Ground(const Way& way, const Width& width)
        : exponent_(std::log(0.5) / std::log(std::cos(radians(0.5 * width.beam_deg)))),
          peak_cd_((1.0 - width.spill) * flux_lm * (exponent_ + 1.0) / (2.0 * pi)),
          even_cd_(width.spill * flux_lm / (4.0 * pi)) {
        if (exponent_ > 300.0) lobe_end2_ = 1.0 - 60.0 / exponent_;
        // Stretches over which no ray to the ground turns by more than twice the standard
        // deviation of the lobe, and of the inverse square: with half of them, nothing differs in
        // the seventh digit.
        double way_rad = 0.0;
        constexpr int probes = 1000;
        for (int i = 0; i < probes; ++i) {
            const Vec3 here_m = way.position_m(1.0 / probes * i);
            way_rad += glm::distance(here_m, way.position_m(1.0 / probes * (i + 1))) / here_m.z;
        }
        const int stretches =
            way.flight
                ? static_cast<int>(std::ceil(0.5 * way_rad * std::sqrt(exponent_ + 3.0))) + 16
                : 1;
        for (int s = 0; s < stretches; ++s)
            for (std::size_t k = 0; k < gauss_place.size(); ++k) {
                const Vec3 at_m = way.position_m((s + gauss_place[k]) / stretches);
                at_m_.push_back(at_m);
                aim_.push_back(way.target_m ? glm::normalize(*way.target_m - at_m)
                                            : Vec3(0.0, 0.0, -1.0));
                weight_s_.push_back(shutter_s * gauss_weight[k] / stretches);
            }
    }

    double lxs(const Vec3& place_m) const {
        double sum_lxs = 0.0;
        for (std::size_t k = 0; k < at_m_.size(); ++k) {
            const Vec3 off_m = place_m - at_m_[k];
            const double square_m2 = glm::dot(off_m, off_m);
            const double along_m = glm::dot(off_m, aim_[k]);
            const bool in_lobe = along_m > 0.0 && along_m * along_m > lobe_end2_ * square_m2;
            if (!in_lobe && even_cd_ == 0.0) continue;
            const double distance_m = std::sqrt(square_m2);
            const double lobe_cd =
                in_lobe ? peak_cd_ * std::pow(along_m / distance_m, exponent_) : 0.0;
            sum_lxs += weight_s_[k] * (lobe_cd + even_cd_) * at_m_[k].z /
                       (distance_m * distance_m * distance_m);
        }
        return sum_lxs;
    }

private:
    double exponent_, peak_cd_, even_cd_;
    double lobe_end2_ = 0.0;  ///< square of the cosine where the lobe is down to e^-30 of its peak
    std::vector<Vec3> at_m_, aim_;
    std::vector<double> weight_s_;
};

struct Apart {
    double sum = 0.0;
    double worst_block = 0.0;
    int blocks = 0;
};

Apart compare(const Way& way, const Width& width) {
    const PlacedShoot shoot = shoot_of(way, width);
    const Image film = layer_of(exposed(shoot, {.bounces = 0}), "lamp.surface");
    const Effort effort = scaled_to(effort_of(Quality::good), film_px);
    const Geometry geometry(shoot, {});
    const CameraRays camera_rays(shoot.camera, geometry, effort);
    const Projection projection(shoot.camera);
    const Ground ground(way, width);
    constexpr int across = film_px.x / block_px, down = film_px.y / block_px;
    std::array<double, across * down> measured{}, expected{};
    double measured_sum = 0.0, expected_sum = 0.0;
    for (int y = 0; y < film_px.y; ++y)
        for (int x = 0; x < film_px.x; ++x) {
            const auto block = static_cast<std::size_t>(y / block_px * across + x / block_px);
            const double lxs = arrived_lxs(shoot.camera, film, x, y);
            measured[block] += lxs;
            measured_sum += lxs;
            for (int sample = 0; sample < effort.plain_samples; ++sample) {
                const Vec2 place(camera_rays.sample_place(sample, 4 * (y % 4) + x % 4));
                const Vec3 ray = projection.direction(Vec2(x, y) + place);
                const Vec3 at_m =
                    shoot.camera.position_m - ray * (shoot.camera.position_m.z / ray.z);
                const double here_lxs = ground.lxs(at_m) / effort.plain_samples;
                expected[block] += here_lxs;
                expected_sum += here_lxs;
            }
        }
    Apart apart;
    apart.sum = measured_sum / expected_sum - 1.0;
    const double brightest = *std::max_element(expected.begin(), expected.end());
    for (std::size_t b = 0; b < expected.size(); ++b) {
        if (expected[b] < counted_share * brightest) continue;
        ++apart.blocks;
        apart.worst_block = std::max(apart.worst_block, std::abs(measured[b] / expected[b] - 1.0));
    }
    return apart;
}

}  // namespace

TEST_CASE("beams of every width over the ground: film against quadrature") {
    for (const Way& way : ways())
        for (const Width& width : widths) {
            CAPTURE(way.name);
            CAPTURE(width.beam_deg);
            const Apart apart = compare(way, width);
            CHECK(apart.blocks > 0);
            CHECK(std::abs(apart.sum) < allowed_of_sum);
            CHECK(apart.worst_block < allowed_of_block);
        }
}
