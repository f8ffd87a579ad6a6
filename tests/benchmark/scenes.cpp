#include "tests/benchmark/scenes.h"

#include <fmt/format.h>

#include <algorithm>
#include <stdexcept>

#include "scene/basics/names.h"
#include "scene/reader/read_shoot.h"
#include "scene/shoot/presence.h"
#include "tests/benchmark/geometry.h"
#include "tests/text_of.h"

namespace lampflight::bench {
namespace {

constexpr double ground_side_m = 40.0;
constexpr int ground_cells = 256;

void add(PlacedShoot& shoot, const std::string& name, Mesh mesh) {
    shoot.subjects.emplace_back().name = name;
    shoot.meshes.push_back(std::move(mesh));
}

PlacedShoot bare_ground(int cells) {
    PlacedShoot shoot;
    shoot.sky.horizontal_lx = 0.0;
    shoot.camera.position_m = {0.0, -13.0, 3.2};
    shoot.camera.look_at_m = Vec3(0.0, 0.0, 0.7);
    shoot.camera.focal_mm = 20.0;
    shoot.camera.shutter_s = 20.0;
    add(shoot, "ground", displaced_ground(cells, ground_side_m));
    add(shoot, "crate", box({-3.8, 1.0}, {1.2, 0.9, 1.1}, 25.0));
    add(shoot, "slab", box({0.5, 4.5}, {2.5, 0.4, 1.8}, 80.0));
    add(shoot, "block", box({-1.2, -3.6}, {0.6, 0.6, 0.7}, 50.0));
    return shoot;
}

void add_thicket(LampFlight& flight) {
    add(flight.shoot, "near fence", fence({-8.0, -4.6}, {8.0, -4.2}, 41, 0.03, 1.6));
    add(flight.shoot, "far fence", fence({-7.0, 6.5}, {8.0, 7.5}, 38, 0.03, 1.8));
    add(flight.shoot, "middle bush", leaves({0.1, 0.2, 1.5}, 1.1, 2000, 0.07, 1));
    add(flight.shoot, "left bush", leaves({-4.6, -1.8, 1.6}, 1.2, 2000, 0.07, 2));
    add(flight.shoot, "right bush", leaves({4.4, -2.2, 1.9}, 1.2, 2000, 0.07, 3));
    flight.fine_subjects = {"near fence", "far fence", "middle bush", "left bush", "right bush"};
}

/// 5 m radius, 8 m up, looking down.
Flight circle_flight() {
    Flight flight;
    flight.name = "circle";
    flight.shape = FlightShape::circle;
    flight.height_m = 8.0;
    flight.radius_m = 5.0;
    flight.pace = Pace::shutter;
    return flight;
}

/// A spiral close to the ground: 2 m radius, 0.5 to 3 m up.
Flight close_flight() {
    Flight flight;
    flight.name = "close";
    flight.shape = FlightShape::helix;
    flight.height_m = 0.5;
    flight.rise_m = 2.5;
    flight.radius_m = 2.0;
    flight.turns = 3.0;
    flight.pace = Pace::shutter;
    return flight;
}

void fly(LampFlight& flight, const std::string& lamp_name, Flight path, double beam_deg) {
    Lamp lamp;
    lamp.name = lamp_name;
    lamp.beam_deg = beam_deg;
    path.carries = {lamp_name};
    if (flight.shoot.takes.empty()) {
        flight.take = "take";
        flight.shoot.takes.emplace_back().name = flight.take;
        flight.shoot.photograph.takes = {flight.take};
    }
    flight.shoot.takes.front().flights.push_back(path.name);
    flight.shoot.lamps.push_back(std::move(lamp));
    flight.shoot.flights.push_back(std::move(path));
}

LampFlight built(const std::string& name, PlacedShoot shoot) {
    LampFlight flight;
    flight.name = name;
    flight.shoot = std::move(shoot);
    flight.own_ground = true;
    return flight;
}

PlacedShoot open_scene() {
    PlacedShoot shoot = bare_ground(ground_cells);
    add(shoot, "rock", rock({3.9, 1.6, 0.6}, 1.2));
    return shoot;
}

std::string file_of(const std::string& scene) {
    return std::string(LAMPFLIGHT_SOURCE_DIR) + "/scenes/" + scene + ".toml";
}

PlacedShoot demo_shoot(const std::string& scene) {
    Checked<PlacedShoot> read = read_placed_shoot(text_of(file_of(scene)), file_of(scene));
    if (const auto* problems = std::get_if<std::vector<Problem>>(&read))
        throw std::runtime_error(to_string(problems->front()));
    return std::get<PlacedShoot>(std::move(read));
}

}  // namespace

std::vector<std::string> built_flights() {
    return {"open_circle", "thicket_circle", "open_close", "thicket_close"};
}

std::vector<std::string> demo_flights() {
    return {"ruin-sweep/left sweep", "ruin-sweep/right sweep", "ruin-sweep/spiral",
            "stone-ring/ring", "shore-helix/helix"};
}

LampFlight lamp_flight(const std::string& name) {
    const std::size_t slash = name.find('/');
    if (slash != std::string::npos) {
        LampFlight flight;
        flight.name = name;
        flight.shoot = demo_shoot(name.substr(0, slash));
        flight.take = name.substr(slash + 1);
        if (flying_lamps(flight).empty()) throw std::runtime_error("no lamp flies in " + name);
        return flight;
    }
    LampFlight flight = built(name, open_scene());
    if (name.starts_with("thicket")) add_thicket(flight);
    if (name.ends_with("circle"))
        fly(flight, "lamp", circle_flight(), 60.0);
    else
        fly(flight, "lamp", close_flight(), 360.0);
    return flight;
}

LampFlight ground_of(int cells) {
    LampFlight flight = built("ground " + std::to_string(cells), bare_ground(cells));
    fly(flight, "lamp", circle_flight(), 60.0);
    return flight;
}

LampFlight swarm_of(int lamps) {
    LampFlight flight = built("swarm " + std::to_string(lamps), open_scene());
    for (int i = 0; i < lamps; ++i) {
        Flight path = circle_flight();
        path.name = fmt::format("circle {}", i);
        path.start_bearing_deg = 360.0 * i / lamps;
        fly(flight, fmt::format("lamp {}", i), path, 60.0);
    }
    return flight;
}

std::unique_ptr<Geometry> geometry_of(const LampFlight& flight, bool without_fine) {
    std::vector<std::size_t> present =
        present_subjects(flight.shoot, *find_named(flight.shoot.takes, flight.take));
    if (without_fine)
        std::erase_if(present, [&](std::size_t subject) {
            return contains(flight.fine_subjects, flight.shoot.subjects[subject].name);
        });
    if (!flight.own_ground) return std::make_unique<Geometry>(flight.shoot, present);
    std::vector<const Mesh*> meshes;
    for (const std::size_t subject : present) meshes.push_back(&flight.shoot.meshes[subject]);
    return std::make_unique<Geometry>(std::move(meshes));
}

std::vector<LitLamp> flying_lamps(const LampFlight& flight) {
    const Take* take = find_named(flight.shoot.takes, flight.take);
    if (take == nullptr) throw std::runtime_error("there is no take " + flight.take);
    std::vector<LitLamp> lamps = lit_lamps(flight.shoot, *take);
    std::erase_if(lamps, [](const LitLamp& lamp) { return !lamp.flies(); });
    return lamps;
}

std::size_t triangles_of(const Geometry& geometry) {
    std::size_t count = 0;
    for (const Mesh* mesh : geometry.meshes()) count += mesh->triangles.size();
    return count;
}

}  // namespace lampflight::bench
