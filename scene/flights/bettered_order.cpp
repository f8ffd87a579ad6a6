#include "scene/flights/bettered_order.h"

#include <algorithm>
#include <cstddef>
#include <limits>
#include <utility>

namespace lampflight {
namespace {

using Place = std::ptrdiff_t;

constexpr long long most_work = 40'000'000;
constexpr int most_rounds = 100;
constexpr Place longest_moved = 3;

StrokeChoice turned_round(StrokeChoice choice, const SvgDrawing& drawing) {
    // Round a closed one either way is the same.
    if (drawing.strokes[choice.turn.stroke].closed) return choice;
    choice.turn.reversed = !choice.turn.reversed;
    std::swap(choice.begin, choice.end);
    return choice;
}

class Bettering {
public:
    Bettering(const SvgDrawing& drawing, std::vector<StrokeChoice>& order)
        : drawing_(drawing), order_(order), count_(static_cast<Place>(order.size())) {
        // Less than rounding is no gain, and would go round in circles.
        least_gain_ = 1e-12 * std::max(dark_way(order), std::numeric_limits<double>::min());
        // All of an order of a few thousand strokes is looked at; of longer ones what is near.
        reach_ = std::max<Place>(most_work / (4 * count_), 50);
    }

    void run() {
        for (int round = 0; round < most_rounds && work_ < most_work; ++round) {
            const bool turned = turn_stretches();
            const bool moved = move_strokes();
            const bool begun = move_begins();
            if (!turned && !moved && !begun) return;
        }
    }

private:
    const StrokeChoice& at(Place place) const { return order_[static_cast<std::size_t>(place)]; }
    bool is_there(Place place) const { return place >= 0 && place < count_; }

    /// From the end of one to the begin of another; none before the first and after the last.
    double way(Place from, Place to) const {
        return is_there(from) && is_there(to) ? glm::distance(at(from).end, at(to).begin) : 0.0;
    }

    void turn(Place first, Place last) {
        const auto begin = order_.begin() + first;
        const auto end = order_.begin() + last + 1;
        std::reverse(begin, end);
        for (auto each = begin; each != end; ++each) *each = turned_round(*each, drawing_);
        work_ += last - first + 1;
    }

    /// What is saved by turning a stretch round, whose own dark ways stay as long as they are.
    double saved_by_turning(Place first, Place last) const {
        double saved = way(first - 1, first) + way(last, last + 1);
        if (is_there(first - 1)) saved -= glm::distance(at(first - 1).end, at(last).end);
        if (is_there(last + 1)) saved -= glm::distance(at(first).begin, at(last + 1).begin);
        return saved;
    }

    bool turn_stretches() {
        bool better = false;
        for (Place first = 0; first < count_; ++first)
            for (Place last = first; last < std::min(count_, first + reach_); ++last) {
                if (++work_ > most_work) return better;
                if (saved_by_turning(first, last) <= least_gain_) continue;
                turn(first, last);
                better = true;
            }
        return better;
    }

    /// What is gained by putting a stretch between two neighbours; begin and end as it is put
    /// there.
    double cost_between(Place before, Place after, const Vec2& begin, const Vec2& end) const {
        double cost = -way(before, after);
        if (is_there(before)) cost += glm::distance(at(before).end, begin);
        if (is_there(after)) cost += glm::distance(end, at(after).begin);
        return cost;
    }

    bool move_strokes() {
        bool better = false;
        for (Place length = 1; length <= longest_moved; ++length)
            for (Place first = 0; first + length <= count_; ++first) {
                if (move_stretch(first, length)) better = true;
                if (work_ > most_work) return better;
            }
        return better;
    }

    /// To the best place there is, if that is better than its own.
    bool move_stretch(Place first, Place length) {
        const Place last = first + length - 1;
        double freed = way(first - 1, first) + way(last, last + 1);
        if (is_there(first - 1) && is_there(last + 1)) freed -= way(first - 1, last + 1);
        if (freed <= least_gain_) return false;
        double best = freed - least_gain_;
        Place best_before = count_;
        bool best_turned = false;
        const Place end = std::min(count_, last + reach_);
        for (Place before = std::max<Place>(-1, first - reach_); before < end; ++before) {
            if (before >= first - 1 && before <= last) continue;
            work_ += 2;
            const double kept = cost_between(before, before + 1, at(first).begin, at(last).end);
            const double turned = cost_between(before, before + 1, at(last).end, at(first).begin);
            if (std::min(kept, turned) >= best) continue;
            best = std::min(kept, turned);
            best_before = before;
            best_turned = turned < kept;
        }
        if (best_before == count_) return false;
        if (best_turned) turn(first, last);
        const auto begin = order_.begin();
        if (best_before < first)
            std::rotate(begin + best_before + 1, begin + first, begin + last + 1);
        else
            std::rotate(begin + first, begin + last + 1, begin + best_before + 1);
        work_ += std::abs(best_before - first) + length;
        return true;
    }

    /// Lets each closed stroke begin at the point that its neighbours are nearest to.
    bool move_begins() {
        bool better = false;
        for (Place place = 0; place < count_ && work_ < most_work; ++place)
            if (drawing_.strokes[at(place).turn.stroke].closed && move_begin(place)) better = true;
        return better;
    }

    bool move_begin(Place place) {
        StrokeChoice& choice = order_[static_cast<std::size_t>(place)];
        const std::vector<Vec2>& points = drawing_.strokes[choice.turn.stroke].points;
        work_ += static_cast<long long>(points.size());
        double shortest = way(place - 1, place) + way(place, place + 1) - least_gain_;
        bool better = false;
        for (std::size_t first = 0; first < points.size(); ++first) {
            double ways = 0.0;
            if (is_there(place - 1)) ways += glm::distance(at(place - 1).end, points[first]);
            if (is_there(place + 1)) ways += glm::distance(points[first], at(place + 1).begin);
            if (ways >= shortest) continue;
            shortest = ways;
            choice.turn.first = first;
            better = true;
        }
        if (better) choice.begin = choice.end = points[choice.turn.first];
        return better;
    }

    const SvgDrawing& drawing_;
    std::vector<StrokeChoice>& order_;
    Place count_;
    Place reach_;
    double least_gain_;
    long long work_ = 0;
};

}  // namespace

StrokeChoice choice_of(const SvgDrawing& drawing, const StrokeTurn& turn) {
    const SvgStroke& stroke = drawing.strokes[turn.stroke];
    if (stroke.closed) return {turn, stroke.points[turn.first], stroke.points[turn.first]};
    if (turn.reversed) return {turn, stroke.points.back(), stroke.points.front()};
    return {turn, stroke.points.front(), stroke.points.back()};
}

double dark_way(const std::vector<StrokeChoice>& order) {
    double sum = 0.0;
    for (std::size_t i = 1; i < order.size(); ++i)
        sum += glm::distance(order[i - 1].end, order[i].begin);
    return sum;
}

void better(const SvgDrawing& drawing, std::vector<StrokeChoice>& order) {
    Bettering(drawing, order).run();
}

}  // namespace lampflight
