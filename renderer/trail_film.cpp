#include "renderer/trail_film.h"

#include <algorithm>
#include <cmath>

namespace lampflight {

TrailFilm::TrailFilm(int width_px, int height_px, int side)
    : width_(width_px), height_(height_px), side_(side) {}

glm::vec3& TrailFilm::part(int x, int y) {
    const auto pixel = static_cast<std::uint32_t>(y / side_) * static_cast<std::uint32_t>(width_) +
                       static_cast<std::uint32_t>(x / side_);
    const auto [place, fresh] = first_part_of_.try_emplace(pixel, parts_.size());
    if (fresh) parts_.resize(parts_.size() + static_cast<std::size_t>(side_ * side_));
    return parts_[place->second + static_cast<std::size_t>(y % side_ * side_ + x % side_)];
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

void TrailFilm::add(const TrailFilm& more) {
    more.for_each_pixel([&](int x, int y, const glm::vec3* parts) {
        for (int i = 0; i < side_ * side_; ++i)
            part(x * side_ + i % side_, y * side_ + i / side_) += parts[i];
    });
}

Image TrailFilm::picture() const {
    Image image(width_, height_);
    const float share = 1.0f / static_cast<float>(side_ * side_);
    for_each_pixel([&](int x, int y, const glm::vec3* parts) {
        glm::vec3 sum(0.0f);
        for (int i = 0; i < side_ * side_; ++i) sum += parts[i];
        image.at(x, y) = share * sum;
    });
    return image;
}

}  // namespace lampflight
