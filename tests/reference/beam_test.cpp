// Published and closed-form photometry of beams, still and flown.
#include <array>
#include <cmath>
#include <functional>

#include "scene/basics/angle.h"
#include "scene/shoot/lit_lamp.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

Lamp lamp_of(double beam_deg, double flux_lm) {
    Lamp lamp;
    lamp.name = "lamp";
    lamp.beam_deg = beam_deg;
    lamp.flux_lm = flux_lm;
    lamp.spill = 0.0;
    return lamp;
}

/// A lobe of 1000 cd at its peak: flux 2 pi I0 / (m + 1).
Lamp lamp_of_1000_cd(double beam_deg) {
    if (beam_deg >= 180.0) return lamp_of(beam_deg, 4.0 * pi * 1000.0);
    const double exponent = std::log(0.5) / std::log(std::cos(radians(beam_deg / 2.0)));
    return lamp_of(beam_deg, 2.0 * pi * 1000.0 / (exponent + 1.0));
}

/// Illuminance of level ground at a point, times a surface's own cosine if `facing` says so.
double ground_lx(const Beam& beam, const Vec3& lamp_m, const Vec3& aim, const Vec3& point_m,
                 bool facing_lamp = false) {
    const Vec3 to_point = point_m - lamp_m;
    const double apart_m = glm::length(to_point);
    const double cosine = facing_lamp ? 1.0 : -to_point.z / apart_m;
    return beam.intensity_cd(glm::dot(aim, to_point) / apart_m) * cosine / (apart_m * apart_m);
}

/// Simpson's rule over a time.
double integral(const std::function<double(double)>& value, double until_s) {
    constexpr int steps = 4000;
    double sum = value(0.0) + value(until_s);
    for (int i = 1; i < steps; ++i) sum += (i % 2 == 1 ? 4.0 : 2.0) * value(until_s * i / steps);
    return sum * until_s / (3.0 * steps);
}

/// A shoot of one lamp on one flight, taken with a shutter as long as the flight.
struct OneLamp {
    PlacedShoot shoot;
    std::vector<LitLamp> lit;

    OneLamp(const Lamp& lamp, Flight flight, double shutter_s) {
        flight.name = "flight";
        flight.carries = {lamp.name};
        shoot.camera.shutter_s = shutter_s;
        shoot.lamps = {lamp};
        shoot.flights = {flight};
        Take take;
        take.flights = {"flight"};
        shoot.takes = {take};
        lit = lit_lamps(shoot, shoot.takes.front());
    }

    /// Exposure of level ground (or of a surface turned to the lamp) in lux seconds.
    double ground_lxs(const Vec3& point_m, bool facing_lamp = false) const {
        const LitLamp& one = lit.at(0);
        const Beam beam(*one.lamp);
        const AimTargets targets = aim_targets(shoot, one);
        return integral(
            [&](double time_s) {
                return ground_lx(beam, one.position_m(time_s), aim_direction(one, targets, time_s),
                                 point_m, facing_lamp);
            },
            one.lit_s());
    }
};

Flight circle_of(double radius_m, double height_m, double lap_s) {
    Flight flight;
    flight.radius_m = radius_m;
    flight.height_m = height_m;
    flight.lap_s = lap_s;
    return flight;
}

Flight pass_of(const Vec3& from_m, const Vec3& to_m, double speed_m_s) {
    Flight flight;
    flight.shape = FlightShape::line;
    flight.from_m = from_m;
    flight.to_m = to_m;
    flight.speed_m_s = speed_m_s;
    return flight;
}

}  // namespace

// Closed form m = ln 0.5 / ln cos(b / 2), I0 = flux (m + 1) / 2 pi; computed, checked by
// quadrature.
TEST_CASE("exponent and peak of cosine lobes of 1000 lm") {
    struct Row {
        double beam_deg, exponent, peak_cd;
    };
    constexpr std::array rows{Row{15.0, 80.674081, 12998.834}, Row{30.0, 19.993727, 3341.2555},
                              Row{60.0, 4.8188417, 926.09742}, Row{90.0, 2.0, 477.46483},
                              Row{120.0, 1.0, 318.30989}};
    for (const Row& row : rows) {
        const Beam beam(lamp_of(row.beam_deg, 1000.0));
        CHECK_RELATIVE(beam.exponent(), row.exponent, 1e-6);
        CHECK_RELATIVE(beam.peak_cd(), row.peak_cd, 1e-6);
    }
    // Isotropic: flux / 4 pi.
    CHECK_WITHIN(Beam(lamp_of(360.0, 1000.0)).intensity_cd(0.2), 79.577472, 1e-6);
}

// Field angle: full width at a tenth of the peak, as the IES uses it (from memory); computed.
TEST_CASE("field angles of cosine lobes") {
    for (const auto& [beam_deg, field_deg] :
         {std::pair{30.0, 53.94641}, {60.0, 103.3491}, {90.0, 143.1301}, {120.0, 168.5217}}) {
        const Beam beam(lamp_of(beam_deg, 1000.0));
        double inside_deg = 0.0, outside_deg = 90.0;
        for (int i = 0; i < 60; ++i) {
            const double middle_deg = 0.5 * (inside_deg + outside_deg);
            const bool bright =
                beam.intensity_cd(std::cos(radians(middle_deg))) > 0.1 * beam.peak_cd();
            (bright ? inside_deg : outside_deg) = middle_deg;
        }
        CHECK_WITHIN(2.0 * inside_deg, field_deg, 1e-4);
    }
}

// E = I cos / d^2 and E = I h / (h^2 + r^2)^1.5 below an isotropic lamp; computed.
TEST_CASE("inverse square below a bare lamp") {
    struct Row {
        double intensity_cd, height_m, offset_m, illuminance_lx;
    };
    constexpr std::array rows{Row{1000.0, 10.0, 0.0, 10.0}, Row{1000.0, 10.0, 5.0, 7.1554175},
                              Row{1000.0, 10.0, 10.0, 3.5355339},
                              Row{500.0, 8.4, 15.0, 0.82657222}};
    for (const Row& row : rows) {
        const Beam beam(lamp_of(360.0, 4.0 * pi * row.intensity_cd));
        CHECK_RELATIVE(
            ground_lx(beam, {0.0, 0.0, row.height_m}, {0.0, 0.0, -1.0}, {row.offset_m, 0.0, 0.0}),
            row.illuminance_lx, 1e-6);
    }
    // 60 degrees of incidence halve 10 lx at 10 m.
    const Beam beam(lamp_of(360.0, 4.0 * pi * 1000.0));
    CHECK_WITHIN(ground_lx(beam, {0.0, 0.0, 5.0}, {0.0, 0.0, -1.0},
                           {10.0 * std::sin(radians(60.0)), 0.0, 0.0}),
                 5.0, 1e-9);
}

// Finite pass H = I h / (v D^2) [x2 / sqrt(D^2 + x2^2) - x1 / sqrt(D^2 + x1^2)]; closed form,
// checked by quadrature.
TEST_CASE("a straight pass of a bare lamp over the ground") {
    const OneLamp pass(lamp_of_1000_cd(360.0),
                       pass_of({-10.0, 0.0, 10.0}, {10.0, 0.0, 10.0}, 1.570796327), 30.0);
    CHECK_RELATIVE(pass.ground_lxs({0.0, 0.0, 0.0}), 90.031632, 1e-6);
}

// Whole pass of a lamp pointing down: H = I0 h^(m+1) D^-(m+2) B(1/2, (m+2)/2) / v, I0 = 1000 cd,
// h = 10 m, 3 m aside, 1.5 m/s; closed form, checked by quadrature. Cut at 400 m either side, which
// leaves out less than (D / 400)^(m+2) of it.
TEST_CASE("a long straight pass of a downward lobe") {
    for (const auto& [beam_deg, exposure_lxs] :
         {std::pair{120.0, 92.021407}, {90.0, 74.815999}, {30.0, 13.970464}}) {
        Flight flight = pass_of({-400.0, 3.0, 10.0}, {400.0, 3.0, 10.0}, 1.5);
        const OneLamp pass(lamp_of_1000_cd(beam_deg), flight, 600.0);
        CHECK_RELATIVE(pass.ground_lxs({0.0, 0.0, 0.0}), exposure_lxs, 2e-5);
    }
}

// Circle of 5 m at 10 m, 1000 cd: E = I h / d^3 (bare, or aimed at the point), I0 h^(m+1) / d^(m+3)
// (pointing down), facing the lamp I0 / d^2. Closed forms, checked by quadrature.
TEST_CASE("the middle of the ground under a lap") {
    const Vec3 middle{0.0, 0.0, 0.0};
    CHECK_RELATIVE(
        OneLamp(lamp_of_1000_cd(360.0), circle_of(5.0, 10.0, 20.0), 20.0).ground_lxs(middle),
        143.10835, 1e-6);
    CHECK_RELATIVE(
        OneLamp(lamp_of_1000_cd(360.0), circle_of(5.0, 10.0, 25.0), 25.0).ground_lxs(middle),
        178.88544, 1e-6);
    CHECK_RELATIVE(
        OneLamp(lamp_of_1000_cd(120.0), circle_of(5.0, 10.0, 20.0), 20.0).ground_lxs(middle) / 20.0,
        6.4, 1e-6);
    CHECK_RELATIVE(
        OneLamp(lamp_of_1000_cd(90.0), circle_of(5.0, 10.0, 20.0), 20.0).ground_lxs(middle) / 20.0,
        5.724334, 1e-6);

    OneLamp aimed(lamp_of_1000_cd(30.0), circle_of(5.0, 10.0, 20.0), 20.0);
    aimed.shoot.subjects.emplace_back().name = "target";
    aimed.shoot.meshes.emplace_back().positions = {{-1.0F, -1.0F, -1.0F}, {1.0F, 1.0F, 1.0F}};
    aimed.shoot.lamps.front().aim = AimAtSubject{"target"};
    CHECK_RELATIVE(aimed.ground_lxs(middle) / 20.0, 7.1554175, 1e-6);
    CHECK_RELATIVE(aimed.ground_lxs(middle, true) / 20.0, 8.0, 1e-6);
}

// Uniform ring off its axis, A = R^2 + h^2 + rho^2, B = 2 R rho: bare E = I h 2 E(k) /
// (pi (A - B) sqrt(A + B)); pointing down with m = 1, I0 h^2 A / (A^2 - B^2)^1.5; facing the lamp
// I / sqrt(A^2 - B^2). Closed forms, values computed with scipy.
TEST_CASE("the ground under a lap away from its middle") {
    struct Row {
        double height_m, offset_m;
        Vec3 bare_down_facing_lx;
    };
    constexpr std::array rows{Row{10.0, 0.0, {7.1554175, 6.4, 8.0}},
                              Row{10.0, 2.0, {6.9827329, 6.2326187, 7.8468187}},
                              Row{10.0, 5.0, {6.0800336, 5.3033009, 7.0710678}},
                              Row{2.0, 5.0, {32.739794, 25.457383, 49.029034}}};
    for (const Row& row : rows) {
        const Flight flight = circle_of(5.0, row.height_m, 20.0);
        const OneLamp bare(lamp_of_1000_cd(360.0), flight, 20.0);
        const OneLamp down(lamp_of_1000_cd(120.0), flight, 20.0);
        const Vec3 point_m{row.offset_m, 0.0, 0.0};
        CHECK_RELATIVE(bare.ground_lxs(point_m) / 20.0, row.bare_down_facing_lx.x, 1e-6);
        CHECK_RELATIVE(down.ground_lxs(point_m) / 20.0, row.bare_down_facing_lx.y, 1e-6);
        CHECK_RELATIVE(bare.ground_lxs(point_m, true) / 20.0, row.bare_down_facing_lx.z, 1e-6);
    }
}
