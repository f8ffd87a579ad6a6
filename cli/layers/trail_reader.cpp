#include "cli/layers/trail_reader.h"

#include <algorithm>
#include <vector>

#include "cli/layers/file_light.h"
#include "cli/layers/layers_names.h"
#include "cli/layers/unfit_layers.h"
#include "scene/basics/wording.h"

namespace lampflight {
namespace {

/// Where pixels of a part stand in the picture, and their light.
struct Columns {
    std::vector<std::uint32_t> x, y;
    std::vector<glm::vec3> parts;
};

Columns columns_of(const ExrFile& file, int part, std::size_t per_pixel) {
    const ExrPart& shape = file.parts()[static_cast<std::size_t>(part)];
    const auto across = static_cast<std::size_t>(shape.width());
    const std::size_t count = across * static_cast<std::size_t>(shape.height());
    Columns columns{std::vector<std::uint32_t>(count), std::vector<std::uint32_t>(count),
                    std::vector<glm::vec3>(count * per_pixel)};
    std::vector<ExrTarget> targets;
    const auto add_places = [&](const char* name, std::vector<std::uint32_t>& places) {
        constexpr std::size_t bytes = sizeof(std::uint32_t);
        targets.push_back({name, EXR_PIXEL_UINT, places.data(), bytes, across * bytes});
    };
    add_places("x", columns.x);
    add_places("y", columns.y);
    const std::size_t pixel_bytes = per_pixel * sizeof(glm::vec3);
    for (std::size_t i = 0; i < per_pixel; ++i)
        for (int colour = 0; colour < 3; ++colour)
            targets.push_back({trail_part_name(static_cast<int>(i)) + '.' + "RGB"[colour],
                               EXR_PIXEL_FLOAT, &columns.parts[i][colour], pixel_bytes,
                               across * pixel_bytes});
    ExrRows rows(file, part, targets);
    for (int row = 0; row < shape.height(); row += shape.rows_at_once)
        rows.read(row, static_cast<std::size_t>(row));
    return columns;
}

}  // namespace

glm::ivec2 trail_size(std::int64_t reached_pixels) {
    const std::int64_t columns = std::min<std::int64_t>(reached_pixels, trail_columns);
    return {columns, (reached_pixels + columns - 1) / columns};
}

PlacedParts read_trail(const ExrFile& file, const TrailToRead& from, const glm::ivec2& pixels) {
    const int side = from.trail.parts_across;
    const auto per_pixel = static_cast<std::size_t>(side * side);
    const auto reached = static_cast<std::size_t>(from.trail.reached_pixels);
    auto [x, y, parts] = columns_of(file, from.part, per_pixel);
    parts.resize(reached * per_pixel);
    check_light(parts, from.layer);
    for (glm::vec3& part : parts) part *= from.gain;
    PlacedParts trail{pixels.x, side, std::vector<std::uint32_t>(reached), std::move(parts)};
    const auto width = static_cast<std::uint32_t>(pixels.x);
    for (std::size_t i = 0; i < reached; ++i) {
        if (x[i] >= width || y[i] >= static_cast<std::uint32_t>(pixels.y))
            throw UnfitLayers{in_quotes(from.layer) + " lies outside the frame"};
        trail.places[i] = y[i] * width + x[i];
        if (i > 0 && trail.places[i] <= trail.places[i - 1])
            throw UnfitLayers{in_quotes(from.layer) + " is in disorder"};
    }
    return trail;
}

}  // namespace lampflight
