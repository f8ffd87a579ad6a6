#include "renderer/expose/trail_reach.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include "renderer/film/trail_film.h"
#include "scene/basics/angle.h"
#include "scene/camera/trail_width.h"
#include "scene/sky/bright_stars.h"
#include "scene/sky/starlight.h"

namespace lampflight {
namespace {

constexpr int cells_across = 1000;
constexpr int fewest_instants = 256;
constexpr int most_instants = 20000;
/// The frame in cells as wide as the film's runs or more, and which of them are reached.
class ReachedCells {
public:
    explicit ReachedCells(const glm::ivec2& pixels)
        : cell_px_(runs_for(pixels.x), (pixels.y + cells_across - 1) / cells_across),
          size_((pixels + cell_px_ - 1) / cell_px_),
          reached_(static_cast<std::size_t>(size_.x) * static_cast<std::size_t>(size_.y)) {}

    void add_disc(const Vec2& centre_px, double radius_px) {
        const double radius = radius_px + 1.0;
        const auto within = [](double place, int count) {
            return static_cast<int>(std::clamp(std::floor(place), -1.0, 1.0 * count));
        };
        const Vec2 cell_px(cell_px_);
        const int last_y =
            std::min(size_.y - 1, within((centre_px.y + radius) / cell_px.y, size_.y));
        for (int y = std::max(0, within((centre_px.y - radius) / cell_px.y, size_.y)); y <= last_y;
             ++y) {
            // The nearest line of the row to the middle has the widest part of the disc.
            const double line = std::clamp(centre_px.y, y * cell_px.y, (y + 1) * cell_px.y);
            const double off = line - centre_px.y;
            const double half = std::sqrt(std::max(0.0, radius * radius - off * off));
            const int last_x =
                std::min(size_.x - 1, within((centre_px.x + half) / cell_px.x, size_.x));
            for (int x = std::max(0, within((centre_px.x - half) / cell_px.x, size_.x));
                 x <= last_x; ++x)
                mark(x, y);
        }
    }

    double pixels() const { return static_cast<double>(count_) * cell_px_.x * cell_px_.y; }

private:
    /// So many whole runs that the frame has some hundreds of cells across.
    static int runs_for(int width_px) {
        const int wanted_px = (width_px + cells_across - 1) / cells_across;
        return (wanted_px + trail_run_px - 1) / trail_run_px * trail_run_px;
    }

    void mark(int x, int y) {
        const auto place = static_cast<std::size_t>(y) * static_cast<std::size_t>(size_.x) +
                           static_cast<std::size_t>(x);
        if (reached_[place]) return;
        reached_[place] = true;
        ++count_;
    }

    glm::ivec2 cell_px_;
    glm::ivec2 size_;
    std::vector<bool> reached_;
    std::size_t count_ = 0;
};

/// Marks where the camera images a lamp at even instants of a stretch of time.
class Stretches {
public:
    Stretches(const Camera& camera, double f_number, const LitLamp& lit, double hung_share,
              ReachedCells& cells)
        : camera_(camera),
          projection_(camera),
          f_number_(f_number),
          pitch_mm_(pixel_pitch_mm(camera).x),
          lit_(lit),
          hung_share_(hung_share),
          cells_(cells) {}

    void add(const TimeWindow& window, int instants) {
        for (int i = 0; i <= instants; ++i) {
            const double share = static_cast<double>(i) / std::max(1, instants);
            const double time_s = window.from_s + share * (window.to_s - window.from_s);
            const Vec3 there_m = lit_.position_m(time_s, hung_share_);
            const auto place = projection_.film_px(there_m);
            const double depth_m = projection_.depth_m(there_m);
            if (!place || depth_m < nearest_imaged_m) continue;
            const double width_mm =
                trail_width_mm(camera_, f_number_, 1e-3 * lit_.lamp->face_mm, depth_m);
            cells_.add_disc(*place, 0.5 * width_mm / pitch_mm_);
        }
    }

private:
    const Camera& camera_;
    Projection projection_;
    double f_number_;
    double pitch_mm_;
    const LitLamp& lit_;
    double hung_share_;
    ReachedCells& cells_;
};

}  // namespace

double reached_pixels(const Camera& camera, double f_number, const LitLamp& lit) {
    ReachedCells cells(camera.pixels);
    const double lit_s = lit.lit_s();
    const bool hangs = lit.lamp->hang_m > 0.0;
    const int parts = hangs ? 64 : 1;
    for (int part = 0; part < parts; ++part) {
        Stretches stretches(camera, f_number, lit, hangs ? (part + 0.5) / parts : 0.5, cells);
        for (const TimeWindow& window : lit.lit) {
            const double share = lit_s > 0.0 ? (window.to_s - window.from_s) / lit_s : 1.0;
            const double wanted = share * most_instants / parts;
            stretches.add(
                window, lit.flies()
                            ? static_cast<int>(std::ceil(std::max(wanted, share * fewest_instants)))
                            : 0);
        }
    }
    return cells.pixels();
}

double reached_by_sky(const Shoot& shoot, const ExposureSettings& settings) {
    if (!shoot.place) return 0.0;
    const Camera& camera = shoot.camera;
    const double frame_px = static_cast<double>(camera.pixels.x) * camera.pixels.y;
    const double width_px =
        3.0 + trail_width_mm(camera, settings.f_number, 0.0, 1e9) / pixel_pitch_mm(camera).x;
    const Vec2 view_rad = field_of_view_rad(camera);
    const double px_rad = camera.pixels.x / std::max(1e-3, view_rad.x);
    // A sphere has 4 pi steradians; the Milky Way's side of it has up to twice the mean of stars.
    const double frame_sr = std::min(2.0 * pi, view_rad.x * view_rad.y);
    const double stars = static_cast<double>(bright_stars().size()) * 2.0 * frame_sr / (4.0 * pi);
    const double way_px = star_trail_px(camera, settings.shutter_s, 0.0);
    constexpr double body_rad = 0.0094;  // across the moon at its nearest
    const double body_px = body_rad * px_rad + width_px;
    return std::min(frame_px, stars * width_px * (width_px + way_px)) +
           2.0 * std::min(frame_px, body_px * (body_px + way_px));
}

}  // namespace lampflight
