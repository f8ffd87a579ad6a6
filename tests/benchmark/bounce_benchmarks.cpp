// Light that bounces, by level: the film of the lamp behind a doorway against the path tracer's.
#include <benchmark/benchmark.h>
#include <fmt/format.h>

#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <functional>
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
fs::path truth_file(const std::string& name) {
    const char* elsewhere = std::getenv("LAMPFLIGHT_DOORWAY_TRUTH");
    const fs::path folder = elsewhere != nullptr
                                ? fs::path(elsewhere)
                                : fs::path(LAMPFLIGHT_BUILD_DIR) / "benchmark-truth";
    return folder / fmt::format("doorway-{}-{:016x}.bin", name, key_of_scene());
}

/// Reads so many blocks of truth from their file, or works them out and keeps them there.
std::vector<TracedBlock> kept_truth(const std::string& name, std::size_t count,
                                    const std::function<std::vector<TracedBlock>()>& work_out) {
    const fs::path file = truth_file(name);
    std::vector<TracedBlock> blocks(count);
    const auto bytes = static_cast<std::streamsize>(count * sizeof(TracedBlock));
    std::ifstream kept(file, std::ios::binary);
    kept.read(reinterpret_cast<char*>(blocks.data()), bytes);
    if (kept.gcount() == bytes) return blocks;
    fmt::print("Working out the truth of the doorway, {} ...\n", name);
    std::fflush(stdout);
    blocks = work_out();
    fs::create_directories(file.parent_path());
    std::ofstream(file, std::ios::binary)
        .write(reinterpret_cast<const char*>(blocks.data()), bytes);
    return blocks;
}

Image lamp_film(const std::vector<ExposedTake>& takes) {
    for (const Layer& layer : takes.front().layers)
        if (layer.id.text() == "lamp.surface") return picture_lxs(layer, takes.front().pixels);
    throw std::runtime_error("no film of the lamp");
}

/// By level on an eighth of all blocks, each known to 1 %, and as sums of the whole film.
void doorway(benchmark::State& state, const std::string& name, const RenderSettings& settings) {
    const PlacedShoot shoot = doorway_shoot();
    const int bounces = settings.bounces;
    const auto some_px = scattered_blocks(shoot.camera.pixels, {4, 2});
    const auto all_px = all_blocks(shoot.camera.pixels);
    const auto some = kept_truth(fmt::format("{}", bounces), some_px.size(), [&] {
        return doorway_truth(shoot, some_px, {.bounces = bounces});
    });
    const auto all = kept_truth(fmt::format("{}-whole", bounces), all_px.size(),
                                [&] { return whole_doorway_truth(shoot, bounces); });
    Image film;
    const Spent spent = timed(state, [&] { film = lamp_film(*expose(shoot, settings)); });
    results().bounces.keep(
        name, {name, spent, level_errors(film, some_px, some), level_errors(film, all_px, all)});
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
