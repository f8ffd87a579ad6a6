// libFuzzer's way into OBJ files: the mesh's text, and after a NUL that of its materials. What is
// read must be finite, and its corners within its vertices.
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <optional>
#include <string>
#include <string_view>
#include <variant>

#include "scene/subjects/read_obj.h"

using namespace lampflight;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string_view input(reinterpret_cast<const char*>(data), size);
    const std::size_t end = std::min(input.find('\0'), size);
    const std::string materials(input.substr(std::min(end + 1, size)));
    const auto beside = [&](const std::string& name) -> std::optional<std::string> {
        if (name.empty()) return std::nullopt;
        return materials;
    };
    const ObjResult read = read_obj_text(input.substr(0, end), beside, 0.7);
    if (const auto* fault = std::get_if<std::string>(&read)) {
        if (fault->empty()) std::abort();
        return 0;
    }
    const Mesh& mesh = std::get<ObjMesh>(read).mesh;
    if (mesh.triangles.empty() || mesh.normals.size() != mesh.positions.size()) std::abort();
    for (const auto& triangle : mesh.triangles)
        for (const std::uint32_t corner : triangle)
            if (corner >= mesh.positions.size()) std::abort();
    for (std::size_t i = 0; i < mesh.positions.size(); ++i)
        for (int axis = 0; axis < 3; ++axis)
            if (!std::isfinite(mesh.positions[i][axis]) || !std::isfinite(mesh.normals[i][axis]))
                std::abort();
    for (const Material& material : mesh.materials)
        for (int k = 0; k < 3; ++k)
            if (!(material.reflectance[k] >= 0.0 && material.reflectance[k] <= 1.0)) std::abort();
    return 0;
}
