#include "renderer/lamp_light/lamp_tile.h"

#include <algorithm>
#include <cmath>

#include "tests/unit/renderer/lamp_light/lit_tile.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

constexpr double candela = 100.0;
constexpr double height_m = 4.0;
constexpr double half_flight_m = 10.0;
constexpr double speed_m_s = 2.0;

/// A lamp that flies straight along x over the origin, over a patch of ground seen from above.
Shoot pass_over(const glm::ivec2& pixels, const Vec2& middle_m, double patch_m) {
    Shoot shoot = dark_shoot(pixels);
    Flight pass;
    pass.shape = FlightShape::line;
    pass.from_m = Vec3(-half_flight_m, 0.0, height_m);
    pass.to_m = Vec3(half_flight_m, 0.0, height_m);
    pass.lap_s = 2.0 * half_flight_m / speed_m_s;
    shoot.camera.shutter_s = pass.lap_s.value();
    fly(shoot, bare_lamp("lamp", candela), pass);
    look_down(shoot.camera, middle_m, patch_m);
    return shoot;
}

/// Closed form of the light from a stretch of the flight: E = I h / (v D^2) [x / sqrt(D^2 + x^2)],
/// with x the lamp's place from abreast of the point and D its least distance.
double arriving_lxs(const Vec2& place_m, double from_m, double to_m) {
    const double D = std::hypot(height_m, place_m.y);
    const auto upto = [&](double x) { return (x - place_m.x) / std::hypot(D, x - place_m.x); };
    return candela * height_m / (speed_m_s * D * D) * (upto(to_m) - upto(from_m));
}

/// Where a pixel's middle lies on level ground.
Vec2 ground_place_m(const Camera& camera, int x, int y) {
    const Vec3 ray = Projection(camera).direction({x + 0.5, y + 0.5});
    return Vec2(camera.position_m) - Vec2(ray) * (camera.position_m.z / ray.z);
}

/// Errors of a film's pixels against a closed form of what arrives, over the mean of that.
struct FilmErrors {
    double rms = 0.0;
    double mean = 0.0;
    double worst = 0.0;
};

template <class Expected>
FilmErrors errors_of(const LitFilm& film, const Camera& camera, Expected expected_lxs) {
    FilmErrors errors;
    double sum = 0.0;
    for (int y = 0; y < film.height; ++y)
        for (int x = 0; x < film.width; ++x) {
            const double expected = expected_lxs(ground_place_m(camera, x, y));
            const double off = film.at(x, y) / ground_reflectance - expected;
            sum += expected;
            errors.mean += off;
            errors.rms += off * off;
            errors.worst = std::max(errors.worst, std::abs(off));
        }
    const auto count = static_cast<double>(film.reflected_lxs.size());
    const double mean = sum / count;
    return {std::sqrt(errors.rms / count) / mean, errors.mean / sum, errors.worst / mean};
}

/// An upright pole of eight sides from the ground up.
Mesh pole(const Vec2& foot_m, double width_m, double pole_height_m) {
    constexpr std::uint32_t sides = 8;
    Mesh mesh;
    for (std::uint32_t k = 0; k < sides; ++k) {
        const double angle = 2.0 * pi * k / sides;
        const Vec2 out(std::cos(angle), std::sin(angle));
        for (const double z : {0.0, pole_height_m}) {
            mesh.positions.emplace_back(Vec3(foot_m + 0.5 * width_m * out, z));
            mesh.normals.emplace_back(Vec3(out, 0.0));
        }
        const std::uint32_t a = 2 * k, b = 2 * ((k + 1) % sides);
        mesh.triangles.push_back({a, b, b + 1});
        mesh.triangles.push_back({a, b + 1, a + 1});
    }
    mesh.material_of.assign(mesh.triangles.size(), 0);
    mesh.materials = {{Rgb(0.2), SurfaceRelief::none}};
    return mesh;
}

constexpr Effort good = effort_of(Quality::good);

}  // namespace

// The midpoint rule on the light clock errs by less than 0.1 % (see the shutter integral's own
// test); the mean over a pixel of 6 cm adds nothing.
TEST_CASE("open ground gets its unshadowed light for the first few rays alone") {
    const Shoot shoot = pass_over({64, 32}, {1.0, 2.0}, 4.0);
    const Mesh ground = level_sheet(-20.0, 20.0, 20.0, 0.0);
    const Geometry geometry({&ground});
    const LitFilm film = lit_film(shoot, geometry, geometry.rays(), good);
    CHECK(film.rays == good.first_instants);
    const FilmErrors errors = errors_of(film, shoot.camera, [](const Vec2& p) {
        return arriving_lxs(p, -half_flight_m, half_flight_m);
    });
    CHECK(errors.worst < 0.002);
    CHECK(std::abs(errors.mean) < 0.001);
}

TEST_CASE("under a roof no light arrives, and plain ground asks for the first few rays alone") {
    const Shoot shoot = pass_over({40, 40}, {1.0, 2.0}, 4.0);
    const Mesh ground = level_sheet(-20.0, 20.0, 20.0, 0.0);
    const Mesh roof = level_sheet(-200.0, 200.0, 200.0, 1.0);
    const Geometry geometry({&ground});
    for (const bool solved : {false, true}) {
        const LitFilm film = lit_film(shoot, geometry, RayQuery({&roof}), good, solved);
        CHECK(film.rays <= (solved ? 2 * VisibilityRecord::instants : good.first_instants));
        CHECK(film.sum() == 0.0);
    }
}

// The lens looks past the sheet, the lamp does not. A point at x on the ground sees the lamp over
// the sheet's edge, which hangs at a quarter of its height, once it is past -3 x.
TEST_CASE("half-plane: the hidden stretch of the flight is missing, no more and no less") {
    const Shoot shoot = pass_over({64, 32}, {0.2, 0.5}, 2.0);
    const Mesh ground = level_sheet(-20.0, 20.0, 20.0, 0.0);
    const Mesh sheet = level_sheet(-200.0, 0.0, 200.0, 0.25 * height_m);
    const Geometry geometry({&ground});
    const RayQuery shadows({&sheet});
    // Where it is solved a pixel may err by 6 % (`draft`), 1.4 % (`good`) or 0.5 % (`fine`) of its
    // light; a plane over 12 pixels leaves as much again where the share bends.
    for (const auto& [quality, bound] :
         {std::pair(Quality::draft, 0.06), {Quality::good, 0.015}, {Quality::fine, 0.01}})
        for (const bool solved : {false, true}) {
            const LitFilm film = lit_film(shoot, geometry, shadows, effort_of(quality), solved);
            const FilmErrors errors = errors_of(film, shoot.camera, [](const Vec2& p) {
                const double from_m = std::clamp(-3.0 * p.x, -half_flight_m, half_flight_m);
                return arriving_lxs(p, from_m, half_flight_m);
            });
            INFO("rms ", errors.rms, ", mean ", errors.mean, ", rays ", film.rays);
            CHECK(errors.rms < bound);
            CHECK(std::abs(errors.mean) < 0.003);
        }
}

// Share of a disc beyond a chord at distance d (in radii) from its middle: (acos d - d sqrt(1 -
// d^2)) / pi. The sheet hangs halfway up, so that a point at x has its chord at -x.
TEST_CASE("penumbra of a standing lamp: the share of its face that is in sight") {
    constexpr double radius_m = 0.2;
    Shoot shoot = dark_shoot({64, 32});
    Lamp lamp = bare_lamp("lamp", candela);
    lamp.face_mm = 2000.0 * radius_m;
    stand(shoot, lamp, {0.0, 0.0, height_m});
    look_down(shoot.camera, {0.0, 0.0}, 0.64);
    const Mesh ground = level_sheet(-20.0, 20.0, 20.0, 0.0);
    const Mesh sheet = level_sheet(-200.0, 0.0, 200.0, 0.5 * height_m);
    const Geometry geometry({&ground});
    const RayQuery shadows({&sheet});
    const double lit_s = static_cast<double>(first_track(shoot).lit_s());
    for (const bool solved : {false, true}) {
        const LitFilm film = lit_film(shoot, geometry, shadows, good, solved);
        const FilmErrors errors = errors_of(film, shoot.camera, [&](const Vec2& p) {
            const double d = std::clamp(-p.x / radius_m, -1.0, 1.0);
            const double r2 = glm::dot(p, p) + height_m * height_m;
            return candela * lit_s * height_m / (r2 * std::sqrt(r2)) *
                   (std::acos(d) - d * std::sqrt(1.0 - d * d)) / pi;
        });
        CHECK(errors.rms < 0.03);
        CHECK(std::abs(errors.mean) < 0.01);
    }
}

// It hides the lamp for half of a 64th of the clock. Every instant of every receiver is asked, and
// they still meet it by chance only: 8192 receivers of half a step, each met or missed, leave 1.1
// %.
TEST_CASE("a pole of 3 cm keeps the energy of its shadow") {
    const Shoot shoot = pass_over({128, 64}, {0.0, 4.5}, 3.2);
    const Mesh ground = level_sheet(-20.0, 20.0, 20.0, 0.0);
    const Mesh thin = pole({0.0, 3.0}, 0.03, 2.0);
    const Geometry geometry({&ground});
    const RayQuery shadows({&thin});
    Effort fine = effort_of(Quality::fine);
    fine.first_instants = 16;
    fine.solved_instants = VisibilityRecord::instants;
    const PlainFilm truth = plain_film(shoot, geometry, shadows, fine, 512);
    const double hidden = truth.unshadowed.sum() - truth.lit.sum();
    REQUIRE(hidden > 0.005 * truth.unshadowed.sum());
    for (const bool solved : {false, true}) {
        const LitFilm film = lit_film(shoot, geometry, shadows, fine, solved);
        CHECK_RELATIVE(truth.unshadowed.sum() - film.sum(), hidden, 0.025);
    }
}

TEST_CASE("a wider bound takes fewer rays") {
    const Shoot shoot = pass_over({32, 32}, {0.0, 0.5}, 8.0);
    const Mesh ground = level_sheet(-20.0, 20.0, 20.0, 0.0);
    const Mesh sheet = level_sheet(-200.0, 0.0, 200.0, 0.25 * height_m);
    const Geometry geometry({&ground});
    const RayQuery shadows({&sheet});
    double before = 1e9;
    for (const float error : {0.005f, 0.012f, 0.03f, 0.06f}) {
        Effort effort = good;
        effort.shadow_error = error;
        effort.smooth_error = error;
        const double rays = lit_film(shoot, geometry, shadows, effort).rays;
        CHECK(rays < before);
        before = rays;
    }
}

// Doubling is exact in floating point, as long as no bound is absolute.
TEST_CASE("twice the flux is twice the light, bit for bit, for as many rays") {
    Shoot shoot = pass_over({32, 32}, {0.0, 0.5}, 8.0);
    const Mesh ground = level_sheet(-20.0, 20.0, 20.0, 0.0);
    const Mesh sheet = level_sheet(-200.0, 0.0, 200.0, 0.25 * height_m);
    const Geometry geometry({&ground});
    const RayQuery shadows({&sheet});
    const LitFilm once = lit_film(shoot, geometry, shadows, good);
    shoot.lamps.front().flux_lm *= 2.0;
    const LitFilm twice = lit_film(shoot, geometry, shadows, good);
    CHECK(once.rays == twice.rays);
    for (std::size_t i = 0; i < once.reflected_lxs.size(); ++i)
        CHECK(twice.reflected_lxs[i] == 2.0 * once.reflected_lxs[i]);
}
