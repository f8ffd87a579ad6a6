// libFuzzer's way into files of layers: header, list of layers, scene, and all light that they
// claim to hold.
#include <cstddef>
#include <cstdint>
#include <string_view>
#include <variant>

#include <tbb/global_control.h>

#include "cli/layers/read_layers.h"
#include "cli/layers/unfit_layers.h"
#include "scene/reader/read_shoot.h"

using namespace lampflight;

namespace {

void read_all(const std::vector<TakeFilm>& films) {
    for (const TakeFilm& film : films) {
        std::vector<glm::vec3> row(static_cast<std::size_t>(film.rows.width()));
        try {
            for (int y = 0; y < film.rows.height(); ++y) film.rows.read_surfaces(y, row);
        } catch (const UnfitLayers&) {
            return;
        }
    }
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    static const tbb::global_control one_thread(tbb::global_control::max_allowed_parallelism, 1);
    auto opened = LayersFile::in_memory({reinterpret_cast<const char*>(data), size});
    auto* file = std::get_if<LayersFile>(&opened);
    if (file == nullptr) return 0;
    const LayersManifest& manifest = file->manifest();
    read_shoot(file->scene_text(), manifest.scene_name, manifest.changes);
    std::vector<const TakeInFile*> takes;
    for (const TakeInFile& take : manifest.takes) takes.push_back(&take);
    const auto read =
        file->takes(takes, [](const std::string&, const LayerId&) { return glm::vec3(0.5f); });
    if (const auto* films = std::get_if<std::vector<TakeFilm>>(&read)) read_all(*films);
    return 0;
}
