// A file of layers (see write_layers.h), read back into the films that a photograph is developed
// from.
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <iosfwd>
#include <memory>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include <OpenEXR/ImfForward.h>

#include "cli/layers/layers_manifest.h"
#include "renderer/film/exposed_take.h"

namespace lampflight {

/// What is made of the light of a take's layer, in each colour; nothing leaves the layer out.
using LayerGain =
    std::function<std::optional<glm::vec3>(const std::string& take, const LayerId& layer)>;

/// An open file. Whatever its bytes are, reading it ends in films or in a few words about what is
/// wrong, with no more memory than a sound file of its size might need.
class LayersFile {
public:
    static std::variant<LayersFile, std::string> open(const std::filesystem::path& file);

    static std::variant<LayersFile, std::string> in_memory(const std::string& bytes);

    const LayersManifest& manifest() const { return manifest_; }
    const std::string& scene_text() const { return scene_text_; }

    /// Takes of the manifest, all light of theirs read: each has one layer with the sum of its own
    /// in their order, which is the render's own film to the last bit where no gain is other than
    /// 1. The settings are left for the caller to fill in.
    std::variant<std::vector<ExposedTake>, std::string> takes(
        const std::vector<const TakeInFile*>& listed, const LayerGain& gain);

    /// Whether a take is kept with the rounding of half floats.
    bool is_half(const TakeInFile& take) const;

private:
    LayersFile(std::shared_ptr<std::istream> stream, std::uint64_t bytes);

    std::shared_ptr<std::istream> stream_;
    std::uint64_t bytes_;
    std::shared_ptr<Imf::IStream> input_;  ///< reads the stream, and the file the input
    std::shared_ptr<Imf::MultiPartInputFile> file_;
    LayersManifest manifest_;
    std::string scene_text_;
};

}  // namespace lampflight
