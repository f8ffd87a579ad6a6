#include "cli/sheets/exposure_overlay.h"

#include <algorithm>

#include "cli/sheets/overlay_marks.h"
#include "cli/sheets/overlay_scale.h"
#include "cli/sheets/overlay_sizes.h"
#include "cli/sheets/step_colours.h"
#include "renderer/meter/exposure_steps.h"

namespace lampflight {
namespace {

constexpr Colour8 band_ground{24, 24, 28};

/// The step of every pixel of the photograph.
class StepMap {
public:
    explicit StepMap(const Image& picture) : width_(picture.width), height_(picture.height) {
        for (const glm::vec3& pixel : picture.pixels)
            steps_.push_back(static_cast<unsigned char>(step_of(picture_luminance(pixel))));
    }

    std::size_t at(int x, int y) const {
        return steps_[static_cast<std::size_t>(y) * static_cast<std::size_t>(width_) +
                      static_cast<std::size_t>(x)];
    }

    int width() const { return width_; }
    int height() const { return height_; }

private:
    int width_;
    int height_;
    std::vector<unsigned char> steps_;
};

void draw_pixel(Canvas& canvas, const OverlaySizes& sizes, int left, int top, std::size_t step) {
    const bool black = step < first_coloured_step();
    const bool burnt = step >= first_coloured_step() + coloured_steps();
    const Colour8 plain = colour_of_step(step);
    for (int y = top; y < top + sizes.enlarged; ++y)
        for (int x = left; x < left + sizes.enlarged; ++x) {
            if (black && on_black_stroke(sizes, x, y))
                canvas.set(x, y, black_stroke);
            else if (burnt && on_burnt_stroke(sizes, x, y))
                canvas.set(x, y, burnt_stroke);
            else
                canvas.set(x, y, plain);
        }
}

/// Where the photograph is burnt, on the overlay's pixels.
class Burnt {
public:
    Burnt(const OverlaySizes& sizes, const StepMap& map)
        : sizes_(sizes), map_(map), step_(first_coloured_step() + coloured_steps()) {}

    bool at(int x, int y) const {
        return x >= 0 && y >= 0 && x < sizes_.width && y < sizes_.height &&
               map_.at(x / sizes_.enlarged, y / sizes_.enlarged) == step_;
    }

    /// At the border of a patch; specks and hair lines have none.
    bool is_border(int x, int y) const {
        constexpr int least = 4;
        int count = 0;
        for (int v = y - 1; v <= y + 1; ++v)
            for (int u = x - 1; u <= x + 1; ++u) count += at(u, v) ? 1 : 0;
        return count >= least && count < 9;
    }

private:
    const OverlaySizes& sizes_;
    const StepMap& map_;
    std::size_t step_;
};

/// A dark rim around what is burnt, so that white shows beside the lightest colour.
void draw_rims(Canvas& canvas, const OverlaySizes& sizes, const StepMap& map) {
    const int reach = std::max(1, static_cast<int>(sizes.hair + 0.5));
    const Burnt burnt(sizes, map);
    for (int y = 0; y < sizes.height; ++y)
        for (int x = 0; x < sizes.width; ++x) {
            if (!burnt.at(x, y) || !burnt.is_border(x, y)) continue;
            for (int v = y - reach; v <= y + reach; ++v)
                for (int u = x - reach; u <= x + reach; ++u)
                    if (v < sizes.height && !burnt.at(u, v)) canvas.set(u, v, outline);
        }
}

}  // namespace

Canvas exposure_overlay(const Shoot& shoot, const Image& picture, const MeterReading& reading) {
    const OverlaySizes sizes(picture.width, picture.height);
    Canvas canvas(sizes.width, sizes.height + sizes.band, band_ground);
    const StepMap map(picture);
    for (int y = 0; y < map.height(); ++y)
        for (int x = 0; x < map.width(); ++x)
            draw_pixel(canvas, sizes, x * sizes.enlarged, y * sizes.enlarged, map.at(x, y));
    draw_rims(canvas, sizes, map);
    draw_marks(canvas, sizes, reading);
    draw_scale(canvas, sizes, shoot, reading);
    return canvas;
}

}  // namespace lampflight
