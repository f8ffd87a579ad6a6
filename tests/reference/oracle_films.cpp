#include "tests/reference/oracle_films.h"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <vector>

#include "renderer/sampling/effort.h"
#include "scene/reader/read_shoot.h"
#include "tests/film.h"
#include "tests/reference/oracle.h"
#include "tests/text_of.h"

namespace lampflight {
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

}  // namespace

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
                int instants) {
    check_films(name, small_demo(name), quality, quality_name, instants);
}

}  // namespace lampflight
