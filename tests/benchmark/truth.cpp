#include "tests/benchmark/truth.h"

#include <fmt/format.h>

#include <algorithm>
#include <bit>
#include <cstdio>
#include <filesystem>
#include <fstream>

#include "tests/benchmark/measures.h"
#include "tests/benchmark/methods.h"

namespace lampflight::bench {
namespace {

namespace fs = std::filesystem;

std::uint64_t mixed(std::uint64_t hash, float value) {
    return (hash ^ std::bit_cast<std::uint32_t>(value)) * 0x100000001b3u;
}

/// Changes with the surface points, the meshes and the lamp.
std::uint64_t key_of(const SeenFilm& film, const LampTrack& track, const Geometry& geometry) {
    std::uint64_t hash = fingerprint(film);
    for (const Mesh* mesh : geometry.meshes())
        for (const glm::vec3& p : mesh->positions)
            hash = mixed(hash, p.x + 3.0f * p.y + 7.0f * p.z);
    constexpr int instants = 64;
    for (int i = 0; i <= instants; ++i) {
        const LampInstant lamp = track.at(track.lit_s() * static_cast<float>(i) / instants);
        for (int axis = 0; axis < 3; ++axis)
            hash = mixed(mixed(hash, lamp.position_m[axis]), lamp.aim[axis]);
        hash = mixed(hash, track.intensity_cd(static_cast<float>(i) / instants));
    }
    for (int colour = 0; colour < 3; ++colour) hash = mixed(hash, track.flux_lm()[colour]);
    return mixed(mixed(hash, track.lit_s()), track.face_radius_m());
}

fs::path file_of(std::string name, const SeenFilm& film, int times, std::uint64_t key) {
    std::ranges::replace(name, '/', '.');
    std::ranges::replace(name, ' ', '_');
    const fs::path folder = fs::path(LAMPFLIGHT_BUILD_DIR) / "benchmark-truth";
    fs::create_directories(folder);
    return folder /
           fmt::format("{}-{}x{}-{}-{:016x}.bin", name, film.pixels.x, film.pixels.y, times, key);
}

std::vector<float> read_films(const fs::path& file, std::size_t count) {
    std::vector<float> values(count);
    const auto bytes = static_cast<std::streamsize>(count * sizeof(float));
    std::ifstream stream(file, std::ios::binary);
    stream.read(reinterpret_cast<char*>(values.data()), bytes);
    if (stream.gcount() != bytes) values.clear();
    return values;
}

void write_films(const fs::path& file, const std::vector<float>& values) {
    std::ofstream stream(file, std::ios::binary);
    stream.write(reinterpret_cast<const char*>(values.data()),
                 static_cast<std::streamsize>(values.size() * sizeof(float)));
}

/// Two halves of the truth, one after the other, at times half a step apart.
std::vector<float> worked_out(const SeenFilm& film, const LampTrack& track,
                              const Geometry& geometry, int times) {
    std::vector<float> halves;
    for (const float phase : {0.25f, 0.75f}) {
        LampLayer layer;
        light_film(film, fixed_times_in_packets(track, geometry.rays(), times / 2, phase), layer);
        const std::vector<float> half = grey_pixels(layer);
        halves.insert(halves.end(), half.begin(), half.end());
    }
    return halves;
}

}  // namespace

Truth truth_of(const std::string& name, const SeenFilm& film, const LampTrack& track,
               const Geometry& geometry, int times) {
    const fs::path file = file_of(name, film, times, key_of(film, track, geometry));
    const std::size_t pixels = film.tiles.size() * tile_pixels;
    std::vector<float> halves = read_films(file, 2 * pixels);
    if (halves.empty()) {
        fmt::print("Working out the truth of {} ...\n", name);
        std::fflush(stdout);
        halves = worked_out(film, track, geometry, times);
        write_films(file, halves);
    }
    Truth truth;
    for (std::size_t i = 0; i < pixels; ++i)
        truth.grey.push_back(0.5f * (halves[i] + halves[pixels + i]));
    const std::span<const float> first(halves.data(), pixels);
    const std::span<const float> second(halves.data() + pixels, pixels);
    truth.own_error = 0.5 * relative_rms(first, second, least_share * mean_lit(first));
    return truth;
}

}  // namespace lampflight::bench
