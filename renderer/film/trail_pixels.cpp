#include "renderer/film/trail_pixels.h"

#include <algorithm>
#include <iterator>
#include <utility>

namespace lampflight {
namespace {

/// The sum of two, in this order.
PlacedParts sum_of(const PlacedParts& one, const PlacedParts& other) {
    const auto per_pixel = static_cast<std::size_t>(one.side * one.side);
    PlacedParts sum{one.width_px, one.side, {}, {}};
    sum.places.reserve(one.places.size() + other.places.size());
    std::ranges::set_union(one.places, other.places, std::back_inserter(sum.places));
    sum.parts.resize(sum.places.size() * per_pixel);
    const auto add = [&](const PlacedParts& more) {
        const glm::vec3* from = more.parts.data();
        auto at = sum.places.begin();
        for (const std::uint32_t place : more.places) {
            at = std::find(at, sum.places.end(), place);
            glm::vec3* const to =
                &sum.parts[static_cast<std::size_t>(at - sum.places.begin()) * per_pixel];
            for (std::size_t i = 0; i < per_pixel; ++i) to[i] += *from++;
        }
    };
    add(one);
    add(other);
    return sum;
}

}  // namespace

TrailPixels::TrailPixels(int height_px, std::vector<PlacedParts> trails) {
    PlacedParts all{1, 1, {}, {}};
    for (std::size_t i = 0; i < trails.size(); ++i)
        all = i == 0 ? std::move(trails[0]) : sum_of(all, trails[i]);
    parts_ = std::move(all.parts);
    const auto per_pixel = static_cast<std::size_t>(all.side * all.side);
    pixels_.reserve(all.places.size());
    for (std::size_t i = 0; i < all.places.size(); ++i) {
        const std::span parts =
            std::span<const glm::vec3>(parts_).subspan(i * per_pixel, per_pixel);
        const auto width = static_cast<std::uint32_t>(all.width_px);
        const std::uint32_t place = all.places[i];
        pixels_.push_back({static_cast<int>(place % width), static_cast<int>(place / width),
                           mean_of(parts), parts});
    }
    first_in_row_.reserve(static_cast<std::size_t>(height_px) + 1);
    for (int y = 0; y <= height_px; ++y) {
        const auto first = std::ranges::lower_bound(pixels_, y, {}, &TrailPixel::y);
        first_in_row_.push_back(static_cast<std::size_t>(first - pixels_.begin()));
    }
}

std::span<const TrailPixel> TrailPixels::row(int y) const {
    const std::size_t first = first_in_row_[static_cast<std::size_t>(y)];
    const std::size_t end = first_in_row_[static_cast<std::size_t>(y) + 1];
    return std::span(pixels_).subspan(first, end - first);
}

}  // namespace lampflight
