#include "renderer/film/trail_film.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace lampflight {

glm::vec3 mean_of(std::span<const glm::vec3> parts) {
    glm::vec3 sum(0.0f);
    for (const glm::vec3& part : parts) sum += part;
    return sum / static_cast<float>(parts.size());
}

TrailFilm::TrailFilm(int width_px, int height_px, int side)
    : width_(width_px), height_(height_px), side_(side) {}

std::uint32_t TrailFilm::index(int x, int y) const {
    return static_cast<std::uint32_t>(y) * static_cast<std::uint32_t>(width_) +
           static_cast<std::uint32_t>(x);
}

std::span<const glm::vec3> TrailFilm::parts_from(std::size_t first) const {
    return {parts_.data() + first, static_cast<std::size_t>(side_ * side_)};
}

glm::vec3* TrailFilm::first_part(int x, int y) {
    const auto [place, fresh] = first_part_of_.try_emplace(index(x, y), parts_.size());
    if (fresh) parts_.resize(parts_.size() + static_cast<std::size_t>(side_ * side_));
    return parts_.data() + place->second;
}

glm::vec3& TrailFilm::part(int x, int y) {
    return first_part(x / side_, y / side_)[y % side_ * side_ + x % side_];
}

void TrailFilm::add_disc(const glm::dvec2& centre_px, double radius_px, const glm::vec3& deposit) {
    const glm::dvec2 centre = centre_px * static_cast<double>(side_);
    // A disc narrower than a part could slip between the middles of four.
    const double reach = std::max(radius_px * side_, 0.5) + 0.5;
    const int x0 = static_cast<int>(std::floor(centre.x - reach));
    const int x1 = static_cast<int>(std::floor(centre.x + reach));
    const int y0 = static_cast<int>(std::floor(centre.y - reach));
    const int y1 = static_cast<int>(std::floor(centre.y + reach));
    if (x1 < 0 || y1 < 0 || x0 >= width_ * side_ || y0 >= height_ * side_) return;
    const auto weight = [&](int x, int y) {
        const double dx = x + 0.5 - centre.x;
        const double dy = y + 0.5 - centre.y;
        return std::clamp(reach - std::sqrt(dx * dx + dy * dy), 0.0, 1.0);
    };
    double total = 0.0;
    for (int y = y0; y <= y1; ++y)
        for (int x = x0; x <= x1; ++x) total += weight(x, y);
    if (total <= 0.0) return;
    const double per_part = side_ * side_ / total;
    for (int y = std::max(y0, 0); y <= std::min(y1, height_ * side_ - 1); ++y)
        for (int x = std::max(x0, 0); x <= std::min(x1, width_ * side_ - 1); ++x)
            if (const double share = weight(x, y); share > 0.0)
                part(x, y) += static_cast<float>(share * per_part) * deposit;
}

void TrailFilm::add_row(int x, int y, std::span<const glm::vec3> row_lxs) {
    for (const glm::vec3& exposure_lxs : row_lxs) {
        if (exposure_lxs != glm::vec3(0.0f)) part(x, y) += exposure_lxs;
        ++x;
    }
}

void TrailFilm::add_pixel(int x, int y, std::span<const glm::vec3> parts_lxs) {
    glm::vec3* to = first_part(x, y);
    for (const glm::vec3& exposure_lxs : parts_lxs) *to++ += exposure_lxs;
}

std::span<const glm::vec3> TrailFilm::parts(int x, int y) const {
    if (x < 0 || y < 0 || x >= width_ || y >= height_) return {};
    const auto reached = first_part_of_.find(index(x, y));
    if (reached == first_part_of_.end()) return {};
    return parts_from(reached->second);
}

glm::vec3 TrailFilm::exposure_lxs(int x, int y) const {
    const std::span<const glm::vec3> reached = parts(x, y);
    return reached.empty() ? glm::vec3(0.0f) : mean_of(reached);
}

std::vector<TrailPixel> TrailFilm::pixels() const {
    std::vector<std::pair<std::uint32_t, std::size_t>> places(first_part_of_.begin(),
                                                              first_part_of_.end());
    std::ranges::sort(places);
    std::vector<TrailPixel> pixels;
    pixels.reserve(places.size());
    for (const auto& [place, first] : places) {
        const auto parts = parts_from(first);
        const auto width = static_cast<std::uint32_t>(width_);
        pixels.push_back({static_cast<int>(place % width), static_cast<int>(place / width),
                          mean_of(parts), parts});
    }
    return pixels;
}

Image TrailFilm::picture() const {
    Image image(width_, height_);
    for (const TrailPixel& pixel : pixels()) image.at(pixel.x, pixel.y) = pixel.mean_lxs;
    return image;
}

}  // namespace lampflight
