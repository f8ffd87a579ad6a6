// Breaks in a line, on film: a lamp put out or turned away on a part of a flight leaves what
// flights of the parts alone leave together.
#include <cmath>
#include <string>
#include <vector>

#include "tests/drawn_lines.h"
#include "tests/film.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

const RenderSettings direct{.quality = Quality::good, .bounces = 0};

constexpr double speed_m_s = 1.5;
const Vec3 from_m(-4.0, 6.0, 3.0);
const Vec3 to_m(5.0, 5.0, 4.0);

/// The ground, and a line over it.
PlacedShoot over_ground(const Lamp& lamp, const Vec3& start_m, const Vec3& end_m) {
    PlacedShoot shoot = dark_shoot({72, 48});
    shoot.camera.position_m = {0.0, -5.0, 1.7};
    shoot.camera.look_at_m = Vec3(0.0, 5.0, 2.2);
    shoot.camera.focal_mm = 18.0;
    shoot.camera.f_number = 5.6;
    fly(shoot, lamp, straight_flight(start_m, end_m, speed_m_s));
    return shoot;
}

Vec3 at_share(double share) {
    return glm::mix(from_m, to_m, share);
}

PenStretch stretch_of(const Shoot& shoot, double from, double to) {
    PenStretch stretch;
    stretch.flight = shoot.flights.front().name;
    stretch.part = {from, to};
    return stretch;
}

struct Films {
    Image trail, surface;
};

Films films_of(const PlacedShoot& shoot) {
    const ExposedTake take = exposed(shoot, direct);
    return {layer_of(take, "lamp.trail"), layer_of(take, "lamp.surface")};
}

Films sum_of_parts(const std::vector<PlacedShoot>& shoots) {
    std::vector<Image> trails, surfaces;
    for (const PlacedShoot& shoot : shoots) {
        Films films = films_of(shoot);
        trails.push_back(std::move(films.trail));
        surfaces.push_back(std::move(films.surface));
    }
    return {sum_of_films(trails), sum_of_films(surfaces)};
}

/// Both differ by the places of their steps in time alone.
void check_films_alike(const std::string& what, const Films& films, const Films& truth) {
    check_same_film(what + ", trail", films.trail, truth.trail, 1e-4, 3e-3);
    check_same_film(what + ", surfaces", films.surface, truth.surface, 5e-4, 3e-3);
}

/// Light on a film near the image of a part of the line.
double light_about(const Camera& camera, const Image& film, double from, double to) {
    const Projection projection(camera);
    const double first_px = projection.film_px(at_share(from))->x;
    const double last_px = projection.film_px(at_share(to))->x;
    double light = 0.0;
    for (int x = static_cast<int>(std::ceil(first_px)); x < static_cast<int>(last_px); ++x)
        for (int y = 0; y < film.height; ++y) light += luminance_of(film.at(x, y));
    return light;
}

/// The lens lies in its beam all along, and the ground beneath does not.
Lamp torch_to_lens() {
    Lamp lamp = lobe_lamp("lamp", 200.0, 12.0);
    lamp.aim = Vec3(0.0, -1.0, 0.1);
    return lamp;
}

}  // namespace

TEST_CASE("a lamp put out for a part of a flight leaves what the other parts leave alone") {
    const Lamp lamp = bare_lamp("lamp", 60.0);
    PlacedShoot shoot = over_ground(lamp, from_m, to_m);
    shoot.stretches = {stretch_of(shoot, 0.4, 0.55)};
    shoot.stretches.front().lit = false;
    const Films films = films_of(shoot);
    check_films_alike("put out", films,
                      sum_of_parts({over_ground(lamp, from_m, at_share(0.4)),
                                    over_ground(lamp, at_share(0.55), to_m)}));
    CHECK(light_about(shoot.camera, films.trail, 0.44, 0.51) == 0.0);
    CHECK(light_about(shoot.camera, films.trail, 0.1, 0.3) > 0.0);
}

// The same line with corners that its limits slow down, so that only the clock tells the parts: a
// lamp that is switched on by hand at the times of the waypoints, in which the drone stops.
TEST_CASE("waypoints put a lamp out from one to the next") {
    const Lamp lamp = bare_lamp("lamp", 60.0);
    PlacedShoot shoot = over_ground(lamp, from_m, to_m);
    Flight& flight = shoot.flights.front();
    flight.shape = FlightShape::waypoints;
    for (const double share : {0.0, 0.4, 0.55, 1.0})
        flight.path.push_back(Waypoint{at_share(share)});
    flight.corner_radius_m = 0.0;
    flight.limits = {speed_m_s, 0.9};
    shoot.camera.shutter_s = 20.0;
    PlacedShoot switched = shoot;
    flight.path[1].lit = false;
    // From rest to rest over s: s / v + v / a where the top speed is reached, else 2 sqrt(s / a).
    const auto lasts_s = [](double share) {
        const double way_m = share * glm::distance(from_m, to_m);
        return way_m < speed_m_s * speed_m_s / 0.9 ? 2.0 * std::sqrt(way_m / 0.9)
                                                   : way_m / speed_m_s + speed_m_s / 0.9;
    };
    const double out_s = lasts_s(0.4);
    const double on_s = out_s + lasts_s(0.15);
    switched.lamps.front().lit_s = TimeWindows{{0.0, out_s}, {on_s, 20.0}};
    const Films films = films_of(shoot);
    const Films truth = films_of(switched);
    check_films_alike("from waypoint to waypoint", films, truth);
    CHECK(light_about(shoot.camera, films.trail, 0.44, 0.51) == 0.0);
}

TEST_CASE("a lamp turned from the lens breaks its line and lights the ground instead") {
    PlacedShoot shoot = over_ground(torch_to_lens(), from_m, to_m);
    const Films towards = films_of(shoot);
    shoot.stretches = {stretch_of(shoot, 0.4, 0.55)};
    shoot.stretches.front().aim = Aim(AimWord::down);
    const Films films = films_of(shoot);
    Lamp downwards = torch_to_lens();
    downwards.aim = AimWord::down;
    check_films_alike("turned down", films,
                      sum_of_parts({over_ground(torch_to_lens(), from_m, at_share(0.4)),
                                    over_ground(downwards, at_share(0.4), at_share(0.55)),
                                    over_ground(torch_to_lens(), at_share(0.55), to_m)}));
    const double line = light_about(shoot.camera, towards.trail, 0.44, 0.51);
    CHECK(line > 0.0);
    CHECK(light_about(shoot.camera, films.trail, 0.44, 0.51) < 1e-4 * line);
    CHECK(sum_of(films.surface) > 1.5 * sum_of(towards.surface));
}

TEST_CASE("of two lamps, a stretch turns the one that it names") {
    PlacedShoot shoot = over_ground(torch_to_lens(), from_m, to_m);
    Lamp other = torch_to_lens();
    other.name = "other";
    shoot.lamps.push_back(other);
    shoot.flights.front().carries.push_back("other");
    const ExposedTake before = exposed(shoot, direct);
    shoot.stretches = {stretch_of(shoot, 0.4, 0.55)};
    shoot.stretches.front().lit = false;
    shoot.stretches.front().lamps = std::vector<std::string>{"other"};
    const ExposedTake after = exposed(shoot, direct);
    CHECK(layer_of(after, "lamp.trail").pixels == layer_of(before, "lamp.trail").pixels);
    const Image whole = layer_of(before, "other.trail");
    const Image broken = layer_of(after, "other.trail");
    CHECK(light_about(shoot.camera, whole, 0.44, 0.51) > 0.0);
    CHECK(light_about(shoot.camera, broken, 0.44, 0.51) == 0.0);
    CHECK_RELATIVE(light_about(shoot.camera, broken, 0.0, 0.36),
                   light_about(shoot.camera, whole, 0.0, 0.36), 1e-3);
}
