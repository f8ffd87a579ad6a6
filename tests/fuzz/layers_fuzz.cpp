// libFuzzer's way into files of layers: header, list of layers, scene, and all light that they
// claim to hold.
#include <cstddef>
#include <cstdint>
#include <string>
#include <variant>

#include <tbb/global_control.h>

#include "cli/layers/read_layers.h"
#include "scene/reader/read_shoot.h"

using namespace lampflight;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    static const tbb::global_control one_thread(tbb::global_control::max_allowed_parallelism, 1);
    auto opened = LayersFile::in_memory(std::string(reinterpret_cast<const char*>(data), size));
    auto* file = std::get_if<LayersFile>(&opened);
    if (file == nullptr) return 0;
    const LayersManifest& manifest = file->manifest();
    read_shoot(file->scene_text(), manifest.scene_name, manifest.changes);
    std::vector<const TakeInFile*> takes;
    for (const TakeInFile& take : manifest.takes) takes.push_back(&take);
    file->takes(takes, [](const std::string&, const LayerId&) { return glm::vec3(0.5f); });
    return 0;
}
