#include "renderer/film/trail_film.h"

#include <algorithm>

#include "renderer/film/disc_drawing.h"

namespace lampflight {

glm::vec3 mean_of(std::span<const glm::vec3> parts) {
    glm::vec3 sum(0.0f);
    for (const glm::vec3& part : parts) sum += part;
    return sum / static_cast<float>(parts.size());
}

TrailFilm::TrailFilm(int width_px, int height_px, int side)
    : width_(width_px),
      height_(height_px),
      side_(side),
      rows_(static_cast<std::size_t>(height_px)) {}

std::span<const glm::vec3> TrailFilm::parts_of(const PixelRow& row, std::size_t run,
                                               int pixel) const {
    const auto parts = static_cast<std::size_t>(side_ * side_);
    return {row.parts.data() + (run * trail_run_px + static_cast<std::size_t>(pixel)) * parts,
            parts};
}

glm::vec3* TrailFilm::first_part(int x, int y) {
    PixelRow& row = rows_[static_cast<std::size_t>(y)];
    const auto parts = static_cast<std::size_t>(side_ * side_);
    if (row.place_of_run.empty())
        row.place_of_run.resize(
            static_cast<std::size_t>((width_ + trail_run_px - 1) / trail_run_px));
    std::uint32_t& place = row.place_of_run[static_cast<std::size_t>(x / trail_run_px)];
    if (place == 0) {
        row.reached.push_back(0);
        row.parts.resize(row.parts.size() + trail_run_px * parts);
        place = static_cast<std::uint32_t>(row.reached.size());
    }
    const std::size_t run = place - 1;
    row.reached[run] = static_cast<std::uint8_t>(row.reached[run] | 1u << x % trail_run_px);
    return row.parts.data() +
           (run * trail_run_px + static_cast<std::size_t>(x % trail_run_px)) * parts;
}

void TrailFilm::add_disc(const glm::dvec2& centre_px, double radius_px, const glm::vec3& deposit) {
    const FilmDisc disc{centre_px, radius_px, deposit};
    add_discs({&disc, 1}, *this);
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
    const PixelRow& row = rows_[static_cast<std::size_t>(y)];
    if (row.place_of_run.empty()) return {};
    const std::uint32_t place = row.place_of_run[static_cast<std::size_t>(x / trail_run_px)];
    if (place == 0 || (row.reached[place - 1] >> x % trail_run_px & 1u) == 0) return {};
    return parts_of(row, place - 1, x % trail_run_px);
}

glm::vec3 TrailFilm::exposure_lxs(int x, int y) const {
    const std::span<const glm::vec3> reached = parts(x, y);
    return reached.empty() ? glm::vec3(0.0f) : mean_of(reached);
}

void TrailFilm::add_pixels(int y, std::vector<TrailPixel>& pixels) const {
    const PixelRow& row = rows_[static_cast<std::size_t>(y)];
    for (std::size_t i = 0; i < row.place_of_run.size(); ++i) {
        if (row.place_of_run[i] == 0) continue;
        const std::size_t run = row.place_of_run[i] - 1;
        for (int pixel = 0; pixel < trail_run_px; ++pixel) {
            if ((row.reached[run] >> pixel & 1u) == 0) continue;
            const auto parts = parts_of(row, run, pixel);
            pixels.push_back(
                {static_cast<int>(i) * trail_run_px + pixel, y, mean_of(parts), parts});
        }
    }
}

std::vector<TrailPixel> TrailFilm::pixels() const {
    std::vector<TrailPixel> pixels;
    for (int y = 0; y < height_; ++y) add_pixels(y, pixels);
    return pixels;
}

Image TrailFilm::picture() const {
    Image image(width_, height_);
    for (const TrailPixel& pixel : pixels()) image.at(pixel.x, pixel.y) = pixel.mean_lxs;
    return image;
}

}  // namespace lampflight
