// Light that bounces, by level: the film of the lamp behind a doorway against the path tracer's.
#include <benchmark/benchmark.h>
#include <fmt/format.h>

#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <stdexcept>

#include "renderer/expose/expose.h"
#include "tests/benchmark/registration.h"
#include "tests/benchmark/results.h"
#include "tests/benchmark/timed.h"
#include "tests/reference/doorway.h"
#include "tests/text_of.h"

namespace lampflight::bench {
namespace {

namespace fs = std::filesystem;

struct KeptTruth {
    std::vector<glm::ivec2> corners_px;
    std::vector<TracedBlock> blocks;
};

/// Changes with any file of the scene, and with what is kept.
std::uint64_t key_of_scene() {
    std::vector<fs::path> files;
    for (const auto& entry : fs::directory_iterator(fs::path(doorway_file()).parent_path()))
        files.push_back(entry.path());
    std::ranges::sort(files);
    std::uint64_t hash = 0xcbf29ce484222325u ^ sizeof(TracedBlock);
    for (const fs::path& file : files)
        for (const char letter : text_of(file))
            hash = (hash ^ static_cast<unsigned char>(letter)) * 0x100000001b3u;
    return hash;
}

/// LAMPFLIGHT_DOORWAY_TRUTH names another folder than the build's.
fs::path truth_file(int bounces) {
    const char* elsewhere = std::getenv("LAMPFLIGHT_DOORWAY_TRUTH");
    const fs::path folder = elsewhere != nullptr
                                ? fs::path(elsewhere)
                                : fs::path(LAMPFLIGHT_BUILD_DIR) / "benchmark-truth";
    return folder / fmt::format("doorway-{}-{:016x}.bin", bounces, key_of_scene());
}

bool read_blocks(const fs::path& file, std::vector<TracedBlock>& blocks) {
    const auto bytes = static_cast<std::streamsize>(blocks.size() * sizeof(TracedBlock));
    std::ifstream stream(file, std::ios::binary);
    stream.read(reinterpret_cast<char*>(blocks.data()), bytes);
    return stream.gcount() == bytes;
}

/// An eighth of all blocks, to 1 %.
KeptTruth truth_of_doorway(const PlacedShoot& shoot, int bounces) {
    KeptTruth truth;
    truth.corners_px = scattered_blocks(shoot.camera.pixels, {4, 2});
    truth.blocks.resize(truth.corners_px.size());
    const fs::path file = truth_file(bounces);
    if (read_blocks(file, truth.blocks)) return truth;
    fmt::print("Working out the truth of the doorway, {} bounces ...\n", bounces);
    std::fflush(stdout);
    truth.blocks = doorway_truth(shoot, truth.corners_px, {.bounces = bounces});
    fs::create_directories(file.parent_path());
    std::ofstream(file, std::ios::binary)
        .write(reinterpret_cast<const char*>(truth.blocks.data()),
               static_cast<std::streamsize>(truth.blocks.size() * sizeof(TracedBlock)));
    return truth;
}

Image lamp_film(const std::vector<ExposedTake>& takes) {
    for (const Layer& layer : takes.front().layers)
        if (layer.id.text() == "lamp.surface") return picture_lxs(layer, takes.front().pixels);
    throw std::runtime_error("no film of the lamp");
}

void doorway(benchmark::State& state, const std::string& name, const RenderSettings& settings) {
    const PlacedShoot shoot = doorway_shoot();
    const KeptTruth truth = truth_of_doorway(shoot, settings.bounces);
    Image film;
    const Spent spent = timed(state, [&] { film = lamp_film(*expose(shoot, settings)); });
    results().bounces.keep(name, {name, spent, level_errors(film, truth.corners_px, truth.blocks)});
}

}  // namespace

void register_bounces() {
    const auto add = [](const std::string& name, const RenderSettings& settings) {
        benchmark::RegisterBenchmark(
            ("bounce/doorway/" + name).c_str(),
            [=](benchmark::State& state) { doorway(state, name, settings); })
            ->Unit(benchmark::kSecond)
            ->UseRealTime()
            ->Iterations(1);
    };
    for (const int bounces : {1, 2})
        for (const auto& [word, quality] :
             {std::pair{"draft", Quality::draft}, {"good", Quality::good}, {"fine", Quality::fine}})
            add(fmt::format("{}/{}", bounces, word), {.quality = quality, .bounces = bounces});
}

}  // namespace lampflight::bench
