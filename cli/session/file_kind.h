// What a file is by its first bytes, where another kind of file belongs.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>

namespace lampflight {

/// As many as tell the kinds of files apart; none of what is no plain file.
std::string first_bytes_of(const std::filesystem::path& file);

/// Why a file can't be a scene, what it is instead, and the command that reads it; nothing for a
/// text. `bytes` are its first ones.
std::optional<std::string> trouble_as_scene(std::string_view bytes, const std::string& name);

/// The same of a file that can't be read as one of layers; nothing where its bytes tell no more
/// than its reader.
std::optional<std::string> trouble_as_layers(const std::filesystem::path& file);

}  // namespace lampflight
