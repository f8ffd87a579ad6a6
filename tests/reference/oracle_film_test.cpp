// The shutter integral and the bounce against the oracle, on the demo scenes.
#include <algorithm>
#include <filesystem>
#include <fstream>

#include <tbb/parallel_for.h>

#include "renderer/sampling/effort.h"
#include "scene/reader/read_shoot.h"
#include "scene/shoot/presence.h"
#include "tests/film.h"
#include "tests/icosphere.h"
#include "tests/reference/oracle.h"
#include "tests/text_of.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

constexpr double dark_share = 0.02;  // of the mean: pixels below are not counted as lit
constexpr int block_side = 16;

// Errors that no one sees beside the noise of a sensor.
constexpr double allowed_rmse = 0.0075;
constexpr double allowed_block = 0.015;

PlacedShoot small_demo(const std::string& name) {
    const auto file = std::filesystem::path(LAMPFLIGHT_SOURCE_DIR) / "scenes" / (name + ".toml");
    Checked<PlacedShoot> read =
        read_placed_shoot(text_of(file), file, {{"camera.pixels", "[240, 160]"}});
    REQUIRE(std::holds_alternative<PlacedShoot>(read));
    return std::get<PlacedShoot>(std::move(read));
}

std::vector<double> luminances(const Image& film) {
    std::vector<double> values;
    for (const glm::vec3& pixel : film.pixels) values.push_back(luminance_of(pixel));
    return values;
}

/// How far a film is from the truth.
struct Apart {
    double rmse;         ///< over lit pixels, relative to their mean
    double each_rmse;    ///< of every lit pixel's own relative error
    double worst_block;  ///< relative error of the mean of the lit pixels of a block
    double whole;        ///< relative error of the sum
};

Apart compare(const std::vector<double>& film, const OracleFilm& truth) {
    double sum = 0.0;
    double film_sum = 0.0;
    for (std::size_t i = 0; i < film.size(); ++i) {
        sum += truth.exposure_lxs[i];
        film_sum += film[i];
    }
    const double dark = dark_share * sum / static_cast<double>(film.size());
    Apart apart{0.0, 0.0, 0.0, film_sum / sum - 1.0};
    double squares = 0.0;
    double each_squares = 0.0;
    double lit_sum = 0.0;
    int lit = 0;
    for (int top = 0; top < truth.height; top += block_side)
        for (int left = 0; left < truth.width; left += block_side) {
            double film_block = 0.0;
            double truth_block = 0.0;
            int lit_here = 0;
            for (int y = top; y < std::min(top + block_side, truth.height); ++y)
                for (int x = left; x < std::min(left + block_side, truth.width); ++x) {
                    const auto i = static_cast<std::size_t>(y * truth.width + x);
                    if (truth.exposure_lxs[i] <= dark) continue;
                    const double error = film[i] - truth.exposure_lxs[i];
                    const double relative = error / truth.exposure_lxs[i];
                    squares += error * error;
                    each_squares += relative * relative;
                    lit_sum += truth.exposure_lxs[i];
                    ++lit;
                    ++lit_here;
                    film_block += film[i];
                    truth_block += truth.exposure_lxs[i];
                }
            // A few stray pixels have no mean to speak of.
            if (lit_here >= block_side * block_side / 4)
                apart.worst_block =
                    std::max(apart.worst_block, std::abs(film_block / truth_block - 1.0));
        }
    REQUIRE(lit > 500);
    apart.rmse = std::sqrt(squares / lit) / (lit_sum / lit);
    apart.each_rmse = std::sqrt(each_squares / lit);
    return apart;
}

/// A portable float map in grey: rows from the bottom, low byte first.
void write_pfm(const std::string& name, const std::vector<double>& values, int width, int height) {
    const auto file = std::filesystem::path(LAMPFLIGHT_BUILD_DIR) / (name + ".pfm");
    std::ofstream out(file, std::ios::binary);
    out << "Pf\n" << width << ' ' << height << "\n-1.0\n";
    for (int y = height - 1; y >= 0; --y)
        for (int x = 0; x < width; ++x) {
            const auto value = static_cast<float>(values[static_cast<std::size_t>(y * width + x)]);
            out.write(reinterpret_cast<const char*>(&value), sizeof value);
        }
}

void write_out(const std::string& name, const std::vector<double>& film, const OracleFilm& truth) {
    std::vector<double> difference;
    for (std::size_t i = 0; i < film.size(); ++i)
        difference.push_back(film[i] - truth.exposure_lxs[i]);
    write_pfm(name + ".result", film, truth.width, truth.height);
    write_pfm(name + ".truth", truth.exposure_lxs, truth.width, truth.height);
    write_pfm(name + ".difference", difference, truth.width, truth.height);
}

/// Films of every take and lamp against the oracle's, which takes so many instants a film sample.
void check_films(const std::string& name, const PlacedShoot& shoot, Quality quality,
                 const std::string& quality_name, int instants) {
    const auto takes = expose(shoot, {.quality = quality, .bounces = 0});
    REQUIRE(takes.has_value());
    for (const ExposedTake& exposed_take : *takes) {
        const Take& take = *find_named(shoot.takes, exposed_take.name);
        for (const OracleFilm& truth : oracle_films(
                 shoot, take, scaled_to(effort_of(quality), shoot.camera.pixels), instants)) {
            const std::vector<double> film =
                luminances(layer_of(exposed_take, truth.lamp + ".surface"));
            const Apart apart = compare(film, truth);
            const std::string what =
                name + ", " + take.name + ", " + truth.lamp + ", " + quality_name;
            MESSAGE(what, ": relative rmse ", 100.0 * apart.rmse, " %, each pixel's own ",
                    100.0 * apart.each_rmse, " %, worst block ", 100.0 * apart.worst_block,
                    " %, whole film ", 100.0 * apart.whole, " %");
            CHECK_MESSAGE(apart.rmse < allowed_rmse, what);
            CHECK_MESSAGE(apart.worst_block < allowed_block, what);
            CHECK_MESSAGE(std::abs(apart.whole) < 0.002, what);
            if (apart.rmse >= allowed_rmse || apart.worst_block >= allowed_block)
                write_out(what, film, truth);
        }
    }
}

void check_demo(const std::string& name, Quality quality, const std::string& quality_name,
                int instants = 512) {
    check_films(name, small_demo(name), quality, quality_name, instants);
}

/// A ball and a post on the ground and a halo over them, flown from rest to rest.
PlacedShoot changing_shoot() {
    PlacedShoot shoot = dark_shoot({120, 80});
    shoot.camera.position_m = {0.5, -9.0, 1.8};
    shoot.camera.look_at_m = Vec3(0.0, 0.0, 1.2);
    shoot.camera.focal_mm = 24.0;
    shoot.camera.shutter_s = 16.0;
    add_subject(shoot, "ball", icosphere({-0.8, 0.0, 0.9}, 0.9, 4, false));
    add_subject(shoot, "stone", icosphere({1.3, -1.0, 0.5}, 0.5, 4, false));
    Flight halo;
    halo.height_m = 4.0;
    halo.radius_m = 3.0;
    halo.pace = Pace::shutter;
    halo.limits = {std::nullopt, 0.6};
    Lamp lamp = lobe_lamp("lamp", 200.0, 3.0);
    lamp.spill = 0.05;
    fly(shoot, lamp, halo);
    return shoot;
}

}  // namespace

TEST_CASE("oracle: direct light of the halo scene") {
    check_demo("cairn-halo", Quality::good, "good");
}

TEST_CASE("oracle: direct light of the silhouette scene") {
    check_demo("arch-silhouette", Quality::good, "good");
}

TEST_CASE("oracle: direct light of the ring scene") {
    check_demo("ring-figure", Quality::good, "good");
}

TEST_CASE("oracle: fine is nearer still") {
    check_demo("ring-figure", Quality::fine, "fine");
}

// The oracle's own error shrinks with its instants: eight times as many must find no more apart.
TEST_CASE("oracle: fine at eight times the instants" * doctest::test_suite("long") *
          doctest::skip()) {
    for (const char* name : {"cairn-halo", "arch-silhouette", "ring-figure"})
        check_demo(name, Quality::fine, "fine at length", 4096);
}

TEST_CASE("oracle: a flight from rest to rest") {
    check_films("limits", changing_shoot(), Quality::good, "good", 512);
}

TEST_CASE("oracle: a lamp that burns twice within an exposure") {
    PlacedShoot shoot = changing_shoot();
    shoot.lamps.front().lit_s = TimeWindows{{1.5, 4.25}, {9.0, 30.0}};
    check_films("windows", shoot, Quality::good, "good", 512);
}

// Sixteen flashes of 0.25 s are sixteen instants each of the oracle's 1024.
TEST_CASE("oracle: a flown beacon") {
    PlacedShoot shoot = changing_shoot();
    shoot.lamps.front().pulse = {60.0, 0.25, 0.125};
    check_films("beacon", shoot, Quality::good, "good", 1024);
}

TEST_CASE("oracle: someone stands there for a part of the exposure, and a lamp for another") {
    PlacedShoot shoot = changing_shoot();
    shoot.lamps.front().lit_s = TimeWindows{{2.0, 14.0}};
    shoot.subjects[0].present_s = TimeWindows{{0.0, 6.5}, {11.0, 16.0}};
    shoot.subjects[1].present_s = TimeWindows{{5.0, 30.0}};
    check_films("casts", shoot, Quality::good, "good", 1024);
}

// A lamp flown past a pale ball over pale ground, against random walks of one bounce.
TEST_CASE("oracle: light after one bounce") {
    PlacedShoot shoot = dark_shoot({320, 240});
    shoot.ground.reflectance = {0.6, 0.5, 0.3};
    Mesh ball = icosphere({0.0, 0.0, 1.6}, 1.4, 4, false);
    ball.materials = {{{0.4, 0.6, 0.7}, SurfaceRelief::none}};
    add_subject(shoot, "ball", ball);
    Flight flight;
    flight.height_m = 5.0;
    flight.radius_m = 3.0;
    flight.lap_s = 20.0;
    fly(shoot, lobe_lamp("lamp", 300.0, 3.0), flight);
    shoot.camera.shutter_s = 20.0;
    shoot.camera.position_m = {0.5, -6.0, 1.8};
    shoot.camera.look_at_m = Vec3(0.0, 0.0, 1.3);
    shoot.camera.focal_mm = 35.0;

    const Image direct =
        layer_of(exposed(shoot, {.quality = Quality::fine, .bounces = 0}), "lamp.surface");
    const Image all =
        layer_of(exposed(shoot, {.quality = Quality::fine, .bounces = 1}), "lamp.surface");
    const Take& take = shoot.takes.front();
    const Geometry geometry(shoot, present_subjects(shoot, take));
    std::vector<glm::ivec2> pixels;
    for (int y = 20; y < 240; y += 28)
        for (int x = 85; x < 240; x += 30) pixels.emplace_back(x, y);
    std::vector<double> truth(pixels.size());
    tbb::parallel_for(std::size_t{0}, pixels.size(), [&](std::size_t i) {
        truth[i] = oracle_one_bounce_lxs(shoot, take, geometry, pixels[i],
                                         effort_of(Quality::fine).film_samples, 4000);
    });
    double film_sum = 0.0;
    double truth_sum = 0.0;
    double squares = 0.0;
    int lit = 0;
    double mean = 0.0;
    for (const double value : truth) mean += value / static_cast<double>(truth.size());
    for (std::size_t i = 0; i < pixels.size(); ++i) {
        const double film = luminance_of(all.at(pixels[i].x, pixels[i].y)) -
                            luminance_of(direct.at(pixels[i].x, pixels[i].y));
        film_sum += film;
        truth_sum += truth[i];
        if (truth[i] < 0.1 * mean) continue;
        squares += (film / truth[i] - 1.0) * (film / truth[i] - 1.0);
        ++lit;
    }
    REQUIRE(lit >= 20);
    MESSAGE("bounce at ", lit, " pixels: relative rmse ", 100.0 * std::sqrt(squares / lit),
            " %, sum off by ", 100.0 * (film_sum / truth_sum - 1.0), " %");
    CHECK(std::sqrt(squares / lit) < 0.02);
    CHECK_RELATIVE(film_sum, truth_sum, 0.01);
}
