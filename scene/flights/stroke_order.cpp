#include "scene/flights/stroke_order.h"

#include <algorithm>
#include <cstddef>
#include <limits>
#include <utility>

#include "scene/basics/vector.h"
#include "scene/flights/bettered_order.h"

namespace lampflight {
namespace {

constexpr std::size_t most_exact = 8;
constexpr std::size_t most_starts = 64;
constexpr std::size_t most_choices = 40'000;
constexpr double most_steps = 1e8;

/// All ways to draw a stroke, or of a closed one so many, evenly spread.
std::vector<StrokeChoice> choices_of(const SvgDrawing& drawing, std::size_t stroke,
                                     std::size_t starts) {
    const SvgStroke& drawn = drawing.strokes[stroke];
    std::vector<StrokeChoice> choices;
    if (!drawn.closed) {
        choices.push_back(choice_of(drawing, {stroke, false, 0}));
        choices.push_back(choice_of(drawing, {stroke, true, 0}));
        return choices;
    }
    const std::size_t count = std::min(starts, drawn.points.size());
    for (std::size_t i = 0; i < count; ++i)
        choices.push_back(choice_of(drawing, {stroke, false, i * drawn.points.size() / count}));
    return choices;
}

std::vector<StrokeChoice> choices_of(const SvgDrawing& drawing, std::size_t starts) {
    std::vector<StrokeChoice> choices;
    for (std::size_t stroke = 0; stroke < drawing.strokes.size(); ++stroke)
        for (const StrokeChoice& choice : choices_of(drawing, stroke, starts))
            choices.push_back(choice);
    return choices;
}

/// The shortest way through some strokes that ends with a choice, and the choice before it.
struct Reached {
    double way = std::numeric_limits<double>::infinity();
    std::size_t before = 0;
};

/// By Held and Karp's recursion over sets of strokes.
std::vector<StrokeChoice> exact_order(const SvgDrawing& drawing) {
    const std::vector<StrokeChoice> choices = choices_of(drawing, most_starts);
    const std::size_t all = (std::size_t{1} << drawing.strokes.size()) - 1;
    const auto bit_of = [&](std::size_t choice) {
        return std::size_t{1} << choices[choice].turn.stroke;
    };
    std::vector<std::vector<Reached>> reached(all + 1, std::vector<Reached>(choices.size()));
    for (std::size_t last = 0; last < choices.size(); ++last) reached[bit_of(last)][last].way = 0.0;
    for (std::size_t set = 1; set < all; ++set)
        for (std::size_t last = 0; last < choices.size(); ++last) {
            if ((set & bit_of(last)) == 0) continue;
            const double so_far = reached[set][last].way;
            for (std::size_t next = 0; next < choices.size(); ++next) {
                if ((set & bit_of(next)) != 0) continue;
                const double way = so_far + glm::distance(choices[last].end, choices[next].begin);
                Reached& there = reached[set | bit_of(next)][next];
                if (way < there.way) there = {way, last};
            }
        }
    const auto nearer = [](const Reached& one, const Reached& other) {
        return one.way < other.way;
    };
    std::size_t last = static_cast<std::size_t>(
        std::min_element(reached[all].begin(), reached[all].end(), nearer) - reached[all].begin());
    std::vector<StrokeChoice> order;
    for (std::size_t set = all; set != 0;) {
        order.push_back(choices[last]);
        const std::size_t before = reached[set][last].before;
        set &= ~bit_of(last);
        last = before;
    }
    std::reverse(order.begin(), order.end());
    return order;
}

/// From the file's first stroke on always the nearest of those left; where there are very many, of
/// those that come first in the file.
std::vector<StrokeChoice> nearest_order(const SvgDrawing& drawing) {
    const std::size_t count = drawing.strokes.size();
    const std::size_t starts = std::clamp(most_choices / count, std::size_t{2}, most_starts);
    const double each = 0.5 * static_cast<double>(std::max(most_choices, 2 * count));
    const auto window = static_cast<std::size_t>(std::max(most_steps / each, 16.0));
    std::vector<std::vector<StrokeChoice>> left;
    for (std::size_t stroke = count; stroke-- > 1;)
        left.push_back(choices_of(drawing, stroke, starts));
    std::vector<StrokeChoice> order{choice_of(drawing, {0, false, 0})};
    while (!left.empty()) {
        const Vec2 at = order.back().end;
        double nearest = std::numeric_limits<double>::infinity();
        StrokeChoice next = left.back().front();
        std::size_t place = left.size() - 1;
        // The file's first ones are at the back, from where they are taken out cheaply.
        const std::size_t farthest = left.size() > window ? left.size() - window : 0;
        for (std::size_t i = left.size(); i-- > farthest;)
            for (const StrokeChoice& choice : left[i]) {
                const Vec2 way = choice.begin - at;
                if (glm::dot(way, way) >= nearest) continue;
                nearest = glm::dot(way, way);
                next = choice;
                place = i;
            }
        order.push_back(next);
        left.erase(left.begin() + static_cast<std::ptrdiff_t>(place));
    }
    return order;
}

}  // namespace

StrokeOrder order_of_file(const SvgDrawing& drawing) {
    StrokeOrder order;
    for (std::size_t stroke = 0; stroke < drawing.strokes.size(); ++stroke)
        order.push_back({stroke, false, 0});
    return order;
}

StrokeOrder shortest_order(const SvgDrawing& drawing) {
    if (drawing.strokes.empty()) return {};
    std::vector<StrokeChoice> choices;
    if (drawing.strokes.size() <= most_exact) {
        choices = exact_order(drawing);
    } else {
        choices = nearest_order(drawing);
        std::vector<StrokeChoice> as_filed;
        for (const StrokeTurn& turn : order_of_file(drawing))
            as_filed.push_back(choice_of(drawing, turn));
        if (dark_way(as_filed) < dark_way(choices)) choices = std::move(as_filed);
    }
    better(drawing, choices);
    StrokeOrder order;
    for (const StrokeChoice& choice : choices) order.push_back(choice.turn);
    return order;
}

double dark_way(const SvgDrawing& drawing, const StrokeOrder& order) {
    std::vector<StrokeChoice> choices;
    for (const StrokeTurn& turn : order) choices.push_back(choice_of(drawing, turn));
    return dark_way(choices);
}

std::vector<std::size_t> points_drawn(const SvgStroke& stroke, const StrokeTurn& turn) {
    const std::size_t count = stroke.points.size();
    std::vector<std::size_t> points;
    for (std::size_t i = 0; i < count; ++i) points.push_back((turn.first + i) % count);
    if (stroke.closed) points.push_back(turn.first);
    if (turn.reversed) std::reverse(points.begin(), points.end());
    return points;
}

}  // namespace lampflight
