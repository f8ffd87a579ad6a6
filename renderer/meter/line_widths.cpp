#include "renderer/meter/line_widths.h"

#include <tbb/parallel_for.h>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <optional>
#include <string>
#include <utility>

#include "renderer/meter/exposure_steps.h"
#include "renderer/meter/trail_course.h"
#include "renderer/meter/trail_screen.h"

namespace lampflight {
namespace {

constexpr std::size_t most_cuts = 1000;
constexpr int most_stops = 12;

/// How far a line shows to either side of its course.
struct Cut {
    double left_px;
    double right_px;

    double width_px() const { return left_px + right_px; }
    double reach_px() const { return std::max(left_px, right_px); }
};

/// A trail on the screen by a share of its light.
struct Dimmed {
    const TrailScreen& screen;
    double light;

    double operator()(const Vec2& place_px) const { return screen(place_px, light); }
};

/// Way from a place on to where the screen falls below a level; nothing where the frame ends first.
std::optional<double> fall_px(const Dimmed& shown, const Vec2& from_px, const Vec2& way,
                              double level) {
    const double step_px = 0.5 * shown.screen.part_px();
    double before = level;
    for (int i = 0;; ++i) {
        const Vec2 there_px = from_px + i * step_px * way;
        if (!shown.screen.holds(there_px)) return std::nullopt;
        const double here = shown(there_px);
        if (here < level) return step_px * (i - (level - here) / (before - here));
        before = here;
    }
}

/// Cut across a course, at half of the brightest near it.
std::optional<Cut> cut_across(const Dimmed& shown, const CoursePlace& place) {
    constexpr int about = 2;  // half parts
    const double step_px = 0.5 * shown.screen.part_px();
    const Vec2 across{-place.along.y, place.along.x};
    double brightest = 0.0;
    int at = 0;
    for (int i = -about; i <= about; ++i) {
        const double here = shown(place.px + i * step_px * across);
        if (here <= brightest) continue;
        brightest = here;
        at = i;
    }
    if (!(brightest > 0.0)) return std::nullopt;
    const Vec2 from_px = place.px + at * step_px * across;
    const auto right_px = fall_px(shown, from_px, across, 0.5 * brightest);
    const auto left_px = fall_px(shown, from_px, -across, 0.5 * brightest);
    if (!right_px || !left_px) return std::nullopt;
    return Cut{*left_px - at * step_px, *right_px + at * step_px};
}

/// A trail's widths along its course.
class Widths {
public:
    Widths(const TrailScreen& screen, const TrailCourse& course)
        : screen_(screen), course_(course), stride_(1 + course.places().size() / most_cuts) {
        cuts_.resize((course.places().size() + stride_ - 1) / stride_);
        each_cut([&](std::size_t i) { return whole_width(i * stride_); });
    }

    void find(std::optional<LineWidth>& thickest, std::optional<LineWidth>& thinnest) {
        for (const auto& cut : cuts_) {
            if (!cut) continue;
            if (!thickest || cut->px > thickest->px) thickest = cut;
            if (!thinnest || cut->px < thinnest->px) thinnest = cut;
        }
        if (!thickest) return;
        const double known_px = thickest->px;
        each_cut(
            [&](std::size_t i) { return cuts_[i] ? cuts_[i] : less_lit(i * stride_, known_px); });
        for (const auto& cut : cuts_)
            if (cut && cut->px > thickest->px) thickest = cut;
    }

private:
    template <class Work>
    void each_cut(Work work) {
        tbb::parallel_for(std::size_t{0}, cuts_.size(), [&](std::size_t i) { cuts_[i] = work(i); });
    }

    bool counts(std::size_t at, const Cut& cut) const {
        const Vec2& px = course_.places()[at].px;
        const Vec2 to_edge_px = glm::min(px, Vec2(screen_.pixels()) - px);
        return std::min(to_edge_px.x, to_edge_px.y) >= cut.width_px() &&
               course_.runs_on(at, cut.width_px()) &&
               course_.is_alone(at, cut.reach_px(), cut.width_px());
    }

    std::optional<LineWidth> whole_width(std::size_t at) const {
        const CoursePlace& place = course_.places()[at];
        const auto cut = cut_across({screen_, 1.0}, place);
        if (!cut || !counts(at, *cut)) return std::nullopt;
        return LineWidth{cut->width_px(), place.px};
    }

    /// Width of a place that doesn't count, by as many stops less light as it needs to; nothing
    /// once that is no wider than what is known.
    std::optional<LineWidth> less_lit(std::size_t at, double known_px) const {
        const CoursePlace& place = course_.places()[at];
        for (int stops = 1; stops <= most_stops; ++stops) {
            const auto cut = cut_across({screen_, std::exp2(-stops)}, place);
            if (!cut) continue;
            if (cut->width_px() <= known_px) return std::nullopt;
            if (counts(at, *cut)) return LineWidth{cut->width_px(), place.px};
        }
        return std::nullopt;
    }

    const TrailScreen& screen_;
    const TrailCourse& course_;
    std::size_t stride_;
    std::vector<std::optional<LineWidth>> cuts_;
};

double peak_lxs(const TrailFilm& trail) {
    double peak = 0.0;
    for (const TrailPixel& pixel : trail.pixels())
        peak = std::max(peak, picture_luminance(pixel.mean_lxs));
    return peak;
}

/// The light of a lamp's trail in a take; nothing where there is none.
const TrailFilm* trail_of(const ExposedTake& take, const std::string& lamp) {
    for (const Layer& layer : take.layers)
        if (layer.id == lamp_layer(lamp, LightWay::trail)) return &*layer.trail;
    return nullptr;
}

}  // namespace

std::vector<LineWidths> line_widths(const Shoot& shoot, const std::vector<ExposedTake>& takes,
                                    PointSpreads& spreads) {
    std::vector<LineWidths> all;
    for (const ExposedTake& film : takes) {
        const Take* take = find_named(shoot.takes, film.name);
        if (!take) continue;
        for (const LitLamp& lit : lit_lamps(shoot, *take)) {
            const bool draws_line = lit.flies() && lit.lamp->hang_m == 0.0;
            const TrailFilm* trail = draws_line ? trail_of(film, lit.lamp->name) : nullptr;
            const double peak = trail ? peak_lxs(*trail) : 0.0;
            if (!(peak > 0.0)) continue;
            LineWidths widths{film.name, lit.lamp->name,
                              peak,      std::log2(peak / saturation_lxs(film.settings.iso)),
                              {},        {}};
            const TrailScreen screen(shoot.camera, film.settings,
                                     spreads.at(film.settings.f_number), *trail);
            const TrailCourse course(shoot.camera, lit,
                                     [&](const Vec2& px) { return screen.light_lxs(px); });
            Widths(screen, course).find(widths.thickest, widths.thinnest);
            all.push_back(std::move(widths));
        }
    }
    return all;
}

}  // namespace lampflight
