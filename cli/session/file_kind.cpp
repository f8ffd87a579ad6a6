#include "cli/session/file_kind.h"

#include <array>
#include <fstream>

#include <fmt/format.h>

#include "scene/basics/files_there.h"
#include "scene/basics/text_of_file.h"
#include "scene/basics/wording.h"

namespace lampflight {
namespace {

struct Signature {
    std::string_view bytes;
    std::string_view what;
};

using namespace std::string_view_literals;

constexpr std::string_view exr = "\x76\x2f\x31\x01"sv;

constexpr std::array pictures{
    Signature{"\x89PNG"sv, "a picture (PNG)"},
    Signature{"II*\0"sv, "a picture (TIFF)"},
    Signature{"MM\0*"sv, "a picture (TIFF)"},
    Signature{"\xff\xd8\xff"sv, "a picture (JPEG)"},
    Signature{"#?RADIANCE"sv, "a picture in linear light (.hdr)"},
    Signature{"<svg"sv, "a drawing (SVG)"},
    Signature{"<?xml"sv, "an XML file"},
    Signature{"{"sv, "a JSON file"},
};

/// Whether an OpenEXR file has parts (bit 12 of the flags in its fifth to eighth byte), as files of
/// layers have and pictures have not.
bool has_parts(std::string_view bytes) {
    return bytes.size() > 5 && (static_cast<unsigned char>(bytes[5]) & 0x10u) != 0;
}

/// What bytes begin that are neither a scene nor layers; empty for others.
std::string_view picture_kind_of(std::string_view bytes) {
    if (bytes.starts_with(exr)) return "a picture in linear light (OpenEXR)";
    for (const Signature& signature : pictures)
        if (bytes.starts_with(signature.bytes)) return signature.what;
    return "";
}

}  // namespace

std::string first_bytes_of(const std::filesystem::path& file) {
    std::error_code error;
    if (!std::filesystem::is_regular_file(file, error)) return "";
    std::string bytes(64, '\0');
    std::ifstream stream(file, std::ios::binary);
    stream.read(bytes.data(), static_cast<std::streamsize>(bytes.size()));
    bytes.resize(static_cast<std::size_t>(stream.gcount()));
    return bytes;
}

std::optional<std::string> trouble_as_scene(std::string_view bytes, const std::string& name) {
    if (bytes.starts_with(exr) && has_parts(bytes))
        return fmt::format(
            "{} is a file of layers (OpenEXR), no scene; 'lampflight retune {} -o picture.png' "
            "develops it",
            name, name);
    const std::string_view kind = picture_kind_of(bytes);
    if (kind.empty()) return std::nullopt;
    return fmt::format("{} is {}, no scene; {}", name, kind, beside_it(name, ".toml"));
}

std::optional<std::string> trouble_as_layers(const std::filesystem::path& file) {
    std::error_code error;
    const auto type = std::filesystem::status(file, error).type();
    if (type == std::filesystem::file_type::not_found ||
        type == std::filesystem::file_type::directory)
        return fmt::format(
            "there is no file of layers {}; {}; 'lampflight render SCENE -o "
            "PICTURE.png --layers FILE.exr' makes one",
            file.string(), looked_for(file, ".exr"));
    const std::string name = file.string();
    if (const std::string other = kind_of_file(file); !other.empty())
        return fmt::format("{} is {}, no file of layers; {}", name, other,
                           looked_for(file, ".exr"));
    const std::string bytes = first_bytes_of(file);
    if (bytes.starts_with(exr)) return std::nullopt;
    if (const std::string_view kind = picture_kind_of(bytes); !kind.empty())
        return fmt::format("{} is {}, no file of layers; {}", name, kind, beside_it(file, ".exr"));
    if (lower_case(file.extension().string()) != ".toml") return std::nullopt;
    return fmt::format(
        "{} is a scene, and retune develops a file of its layers; 'lampflight render "
        "{} -o picture.png --layers layers.exr' makes one",
        name, file.string());
}

}  // namespace lampflight
