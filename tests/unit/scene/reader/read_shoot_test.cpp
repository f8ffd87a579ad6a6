// The door: what a sound file becomes, and that no file, however broken, gets through or breaks it.
#include "scene/reader/read_shoot.h"

#include <doctest/doctest.h>

#include <cmath>
#include <cstdint>
#include <filesystem>
#include <fstream>

#include <unistd.h>

#include "scene/basics/angle.h"
#include "scene/ground/ground.h"
#include "tests/full_scene.h"
#include "tests/unit/scene/reader/problems_of.h"
#include "tests/within.h"

using namespace lampflight;
namespace fs = std::filesystem;

namespace {

/// A folder of its own, gone at the end.
struct Folder {
    fs::path path = fs::temp_directory_path() / ("lampflight_door_" + std::to_string(getpid()));

    Folder() { fs::create_directories(path); }
    ~Folder() {
        std::error_code error;
        fs::remove_all(path, error);
    }
    void write(const std::string& name, const std::string& text) const {
        std::ofstream(path / name, std::ios::binary) << text;
    }
};

// A slab 2 m wide, 1 m deep and 1 m tall.
const std::string slab_obj =
    "v -1 -0.5 0\nv 1 -0.5 0\nv 1 0.5 0\nv -1 0.5 0\nv -1 -0.5 1\nv 1 -0.5 1\nv 1 0.5 1\n"
    "v -1 0.5 1\nf 1 4 3 2\nf 5 6 7 8\nf 1 2 6 5\nf 2 3 7 6\nf 3 4 8 7\nf 4 1 5 8\n";

const std::string small_scene =
    "[camera]\n[[lamp]]\nname = \"a\"\nposition_m = [0, 0, 1]\n[[take]]\nname = \"t\"\n";

template <class Value>
Value sound(const Checked<Value>& read) {
    if (const auto* problems = std::get_if<std::vector<Problem>>(&read)) {
        for (const Problem& problem : *problems) FAIL_CHECK(to_string(problem));
        return {};
    }
    return std::get<Value>(read);
}

float lowest(const Mesh& mesh) {
    float low = 1e9f;
    for (const glm::vec3& p : mesh.positions) low = std::min(low, p.z);
    return low;
}

/// A share from 0 to 1 by hashing (SplitMix64's finisher); the same on every run.
double share_of(std::uint64_t number) {
    number += 0x9E3779B97F4A7C15u;
    number = (number ^ (number >> 30)) * 0xBF58476D1CE4E5B9u;
    number = (number ^ (number >> 27)) * 0x94D049BB133111EBu;
    return static_cast<double>((number ^ (number >> 31)) >> 11) * 0x1.0p-53;
}

std::size_t pick(std::uint64_t seed, std::size_t below) {
    return static_cast<std::size_t>(share_of(seed) * static_cast<double>(below));
}

/// One hostile change: bytes flipped, a piece lost, the end cut off, or a piece from elsewhere.
std::string mutated(std::string text, std::uint64_t seed) {
    const std::size_t at = pick(seed * 8 + 1, text.size());
    const std::size_t count = 1 + pick(seed * 8 + 2, 12);
    switch (seed % 5) {
        case 0:
            text[at] = static_cast<char>(pick(seed * 8 + 3, 256));
            break;
        case 1:
            text.erase(at, count);
            break;
        case 2:
            text.resize(at);
            break;
        case 3:
            text.insert(at, full_scene.substr(pick(seed * 8 + 4, full_scene.size()), 4 * count));
            break;
        default:
            for (std::size_t i = 0; i < count; ++i)
                text[pick(seed * 8 + 5 + i, text.size())] ^= static_cast<char>(1 << (seed % 8));
    }
    return text;
}

}  // namespace

TEST_CASE("A full scene is read value by value") {
    const Shoot shoot = sound(read_shoot(full_scene, "full.toml"));
    CHECK(shoot.title == "Lap over a field wall");
    CHECK(shoot.sky.horizontal_lx == 0.4);
    CHECK(shoot.sky.glow_bearing_deg == 240.0);
    CHECK(shoot.ground.seed == 3);
    CHECK(shoot.camera.pixels == glm::ivec2(6048, 4024));
    CHECK(shoot.camera.look_at_m == Vec3(0.0, 0.0, 4.5));
    REQUIRE(shoot.lamps.size() == 6);
    CHECK(shoot.lamps[2].dominant_nm == 590.0);
    CHECK(shoot.lamps[3].name == "first left light");
    CHECK(shoot.lamps[3].own_light);
    CHECK(shoot.lamps[5].pulse.first_s == 0.3);
    CHECK(std::get<AimAtSubject>(shoot.lamps[0].aim).name == "cairn");
    CHECK(shoot.lamps[0].gel.shift_mired == 109.0);
    CHECK(std::get<Vec3>(shoot.lamps[1].aim) == Vec3(0.0, 0.5, -1.0));
    CHECK(shoot.lamps[2].position_m == Vec3(5.0, 6.0, 0.6));
    CHECK(shoot.lamps[1].offset_m == Vec3(0.2, 0.1, -0.15));
    CHECK(shoot.lamps[1].hang_m == 1.5);
    CHECK(shoot.lamps[1].mount == Mount::fixed);
    REQUIRE(shoot.drones.size() == 2);
    CHECK(shoot.drones[0].home_m == Vec3(2.0, -12.0, 0.2));
    CHECK(shoot.drones[0].limits.yaw_deg_s == 60.0);
    REQUIRE(shoot.flights.size() == 9);
    CHECK(shoot.flights[0].lap_s == 16.0);
    CHECK_FALSE(shoot.flights[0].clockwise);
    CHECK(shoot.flights[1].pace == Pace::shutter);
    CHECK(shoot.flights[2].shape == FlightShape::ring);
    CHECK(shoot.flights[3].carries == std::vector<std::string>{"warm", "cold"});
    CHECK(shoot.flights[4].end_radius_m == 1.0);
    CHECK(shoot.flights[5].tips == 6);
    CHECK(shoot.flights[5].after == "halo");
    CHECK(shoot.flights[5].lit_between);
    CHECK(shoot.flights[6].lane_m == 4.0);
    CHECK(shoot.flights[6].run_up);
    CHECK(shoot.flights[7].shape == FlightShape::hover);
    REQUIRE(shoot.flights[8].path.size() == 4);
    CHECK(shoot.flights[8].path[0].hold_s == 2.0);
    CHECK(shoot.flights[8].path[1].corner_radius_m == 0.0);
    CHECK_FALSE(shoot.flights[8].path[1].lit);
    CHECK(std::get<AimWord>(shoot.flights[8].path[2].aim.value()) == AimWord::ahead);
    REQUIRE(shoot.stretches.size() == 2);
    CHECK(shoot.stretches[0].part == Vec2(0.25, 0.4));
    CHECK(shoot.stretches[0].lamps == std::vector<std::string>{"warm"});
    REQUIRE(shoot.takes.size() == 2);
    CHECK(shoot.takes[0].lamps == std::vector<std::string>{});
    CHECK(shoot.takes[0].lamp_stops.at("cold") == 1.0);
    CHECK(shoot.takes[1].iso == 400.0);
    CHECK_FALSE(shoot.takes[0].iso);
    CHECK(shoot.photograph.takes == std::vector<std::string>{"gate", "low halo"});
}

TEST_CASE("A flight's own limits count before its drone's, and a drawn shape has an acceleration") {
    const Shoot shoot = sound(read_shoot(full_scene, "full.toml"));
    CHECK_FALSE(shoot.flights[4].limits.given());  // a spiral of no drone
    CHECK(shoot.flights[1].limits.speed_m_s == 6.0);
    for (const std::size_t first_drones : {0u, 5u}) {
        CHECK(shoot.flights[first_drones].limits.speed_m_s == 8.0);
        CHECK(shoot.flights[first_drones].limits.acceleration_m_s2 == 3.0);
        CHECK(shoot.flights[first_drones].limits.descent_m_s == 2.0);
    }
    CHECK(shoot.flights[8].limits.acceleration_m_s2 == 2.0);  // common practice, no source
    CHECK_FALSE(shoot.flights[8].limits.speed_m_s);
    // A star without a bearing faces the camera, which stands at (1, -17).
    CHECK_WITHIN(shoot.flights[5].facing_deg.value(), 180.0 - degrees(std::atan2(1.0, 17.0)), 1e-9);
}

TEST_CASE("What a file leaves out has the struct's defaults, and every take is in the photograph") {
    const Shoot shoot = sound(read_shoot(small_scene + "[[take]]\nname = \"u\"\n", "small.toml"));
    CHECK(shoot.camera.focal_mm == Camera{}.focal_mm);
    CHECK(shoot.sky.horizontal_lx == SkyLight{}.horizontal_lx);
    CHECK(shoot.lamps.at(0).flux_lm == Lamp{}.flux_lm);
    CHECK(shoot.photograph.takes == std::vector<std::string>{"t", "u"});
}

TEST_CASE("Subjects are scaled, shaded and set down on the ground") {
    const Folder folder;
    folder.write("slab.obj", slab_obj);
    const std::string text = small_scene +
                             "[ground]\nroughness_m = 0.3\n[[subject]]\nname = \"slab\"\nmesh = "
                             "\"slab.obj\"\nposition_m = [2, 3, 0.25]\nscale = 2\n"
                             "reflectance = 0.6\n";
    const PlacedShoot shoot = sound(read_placed_shoot(text, folder.path / "slab.toml"));
    REQUIRE(shoot.meshes.size() == 1);
    const Mesh& slab = shoot.meshes[0];
    const double ground_m = ground_height_m(terrain_of(shoot), {2.0, 3.0});
    CHECK(std::abs(ground_m) > 1e-3);
    CHECK_WITHIN(lowest(slab), ground_m + 0.25, 1e-5);
    float high = -1e9f;
    for (const glm::vec3& p : slab.positions) high = std::max(high, p.z);
    CHECK_WITHIN(high, ground_m + 2.25, 1e-5);
    CHECK_WITHIN(luminance(slab.materials.at(0).reflectance), 0.6, 1e-9);
}

TEST_CASE("A built-in model stands where the file says") {
    const PlacedShoot shoot = sound(read_placed_shoot(
        small_scene + "[ground]\nkind = \"flat\"\n[[subject]]\nname = \"me\"\nmodel = \"person\"\n"
                      "position_m = [4, 5, 0]\n",
        "small.toml"));
    const Mesh& mesh = shoot.meshes.at(0);
    REQUIRE_FALSE(mesh.positions.empty());
    CHECK_WITHIN(lowest(mesh), 0.0, 0.05);
    for (const glm::vec3& p : mesh.positions)
        CHECK(glm::distance(glm::vec2(p), glm::vec2(4.0f, 5.0f)) < 1.0f);
}

TEST_CASE("A file of more than a megabyte is refused unread") {
    const std::string padding(1'000'001 - small_scene.size() - 2, ' ');
    CHECK(problems_of(read_shoot(small_scene + '#' + padding + '\n', "big.toml")).empty() == false);
    CHECK(std::holds_alternative<Shoot>(
        read_shoot(small_scene + '#' + padding.substr(1) + '\n', "big.toml")));
}

TEST_CASE("Line ends of other systems and a byte-order mark do no harm") {
    std::string other = "\xEF\xBB\xBF";
    for (char letter : small_scene)
        other += letter == '\n' ? std::string("\r\n") : std::string(1, letter);
    CHECK(sound(read_shoot(other, "other.toml")).takes.size() == 1);
}

TEST_CASE("Dots, brackets and quotes in texts and comments are not taken for nesting") {
    const std::string texts =
        "title = \"[[[[[[[[[[[[[[[[[[[[ a.b.c.d.e.f.g.h.i.j.k \\\" [[[[[\"\n" + small_scene +
        "# .......... [[[[[[[[[[[[[[[[[[[[[[[[[[ \" '\n[[point]]\nname = "
        "'''p[[[[[[[[[[[[[[[[[[[['''\n"
        "position_m = [0.5, 0.5, 0.5]\n[[point]]\nname = \"\"\"q\"\"\"\"\nposition_m = [1, 1, 1] # "
        "'\n";
    CHECK(sound(read_shoot(texts, "texts.toml")).points.size() == 2);
}

TEST_CASE("Many wrong keys are all told, and soon") {
    std::string text = "[camera]\n";
    for (int i = 0; i < 20000; ++i) text += "wrong_key_" + std::to_string(i) + " = 1\n";
    CHECK(problems_of(read_shoot(text, "wrong.toml")).size() > 20000);
    std::string entries = small_scene;
    for (int i = 0; i < 20000; ++i) entries += "[[lamp]]\nname = \"a\"\n";
    CHECK(problems_of(read_shoot(entries, "lamps.toml")).size() == 1 + 99);
}

TEST_CASE("No mutation of a scene breaks the door: it is sound or refused with places") {
    int refused = 0, taken = 0;
    for (std::uint64_t seed = 0; seed < 6000; ++seed) {
        std::string text = mutated(full_scene, seed);
        if (seed % 3 == 0 && !text.empty()) text = mutated(text, seed + 100000);
        const Checked<Shoot> read = read_shoot(text, "mutated.toml");
        std::holds_alternative<Shoot>(read) ? ++taken : ++refused;
        for (const Problem& problem : problems_of(read)) {
            const bool placed = problem.file == "mutated.toml" && problem.line > 0 &&
                                problem.column > 0 && !problem.text.empty();
            if (!placed) FAIL_CHECK("seed ", seed, ": ", to_string(problem));
        }
    }
    CHECK(refused > 3000);
    CHECK(taken > 50);
}

TEST_CASE("No mutation of an override breaks the door") {
    const std::string key = "take.low halo.lamp_stops.warm", value = "[{ a = 1.5 }, \"x\", 1e9]";
    for (std::uint64_t seed = 0; seed < 2000; ++seed) {
        const Override change{mutated(key, seed), mutated(value, seed + 7)};
        for (const Problem& problem : problems_of(read_shoot(full_scene, "full.toml", {change})))
            if (problem.line == 0) CHECK(problem.file.starts_with("--set "));
    }
}
