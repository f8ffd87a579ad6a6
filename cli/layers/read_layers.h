// A file of layers (see write_layers.h), read back into the films that a photograph is developed
// from.
#pragma once

#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "cli/layers/layers_manifest.h"
#include "renderer/film/film_rows.h"

namespace lampflight {

/// What is made of the light of a take's layer, in each colour; nothing leaves the layer out.
using LayerGain =
    std::function<std::optional<glm::vec3>(const std::string& take, const LayerId& layer)>;

/// An open file. Whatever its bytes are, reading it ends in films or in a few words about what is
/// wrong, with no more memory than a sound file of its size might need.
class LayersFile {
public:
    static std::variant<LayersFile, std::string> open(const std::filesystem::path& file);

    /// The bytes must outlive it.
    static std::variant<LayersFile, std::string> in_memory(std::string_view bytes);

    LayersFile(LayersFile&&) noexcept;
    LayersFile& operator=(LayersFile&&) noexcept;
    ~LayersFile();

    const LayersManifest& manifest() const;
    const std::string& scene_text() const;

    /// Takes of the manifest. Their trails are read, their films only looked up: rows come from the
    /// file when asked for, the sum in the order of the layers, which is the render's own film to
    /// the last bit where no gain is other than 1. What is wrong with a row is thrown as
    /// UnfitLayers. The settings are left for the caller to fill in. Outlives all that it hands
    /// out.
    std::variant<std::vector<TakeFilm>, std::string> takes(
        const std::vector<const TakeInFile*>& listed, const LayerGain& gain);

    /// Whether a take is kept with the rounding of half floats.
    bool is_half(const TakeInFile& take) const;

private:
    struct Contents;
    explicit LayersFile(std::unique_ptr<Contents> contents);

    std::unique_ptr<Contents> contents_;
};

}  // namespace lampflight
