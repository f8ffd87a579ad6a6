#include "scene/flights/phase_plane.h"

#include <algorithm>
#include <cmath>
#include <cstddef>

namespace lampflight {
namespace {

/// Step on a bend: 2 k ds. On a bend v^2 is (a/k) sin(2ks) at best; this comes within 0.2 % of it.
constexpr double bend_step = 0.01;

/// Steps on bends are not shorter than this, nor nodes nearer, where rounding would tell.
constexpr double least_step_m = 1e-5;
constexpr double least_apart_m = 1e-8;

/// Nearer to the most than this is there.
constexpr double reached = 1.0 - 1e-12;

using Cell = PhaseRoom::Cell;
using Place = PhaseRoom::Place;
using Pass = PhaseRoom::Pass;

/// The most that v^2 can be at the end of a step that begins at `square`, so that the limit holds
/// at the faster end: ((x - w) / 2s)^2 + (x k)^2 = a^2 solved for x.
double next_square(double square, double step_m, double bend, double acceleration_m_s2) {
    const double reach = 2.0 * step_m;
    const double turn = reach * bend;
    const double widened = 1.0 + turn * turn;
    const double root =
        acceleration_m_s2 * acceleration_m_s2 * widened - bend * bend * square * square;
    return (square + reach * std::sqrt(std::max(root, 0.0))) / widened;
}

/// Accelerates through a cell until its most is reached; returns v^2 at its end.
double pass_cell(const Cell& cell, double square, double acceleration_m_s2,
                 std::vector<Place>& places) {
    square = std::min(square, cell.most);
    places.push_back({0.0, square});
    const double across = cell.most * cell.bend;
    const double slope =
        2.0 * std::sqrt(std::max(acceleration_m_s2 * acceleration_m_s2 - across * across, 0.0));
    double longest_m = cell.length_m;
    if (cell.bend > 0.0) {
        const double step_m = std::max(bend_step / (2.0 * cell.bend), least_step_m);
        longest_m /= std::ceil(cell.length_m / step_m * (1.0 - 1e-9));
    }
    double way_m = 0.0;
    while (way_m < cell.length_m && square < cell.most) {
        double step_m = std::min(longest_m, cell.length_m - way_m);
        const double next = next_square(square, step_m, cell.bend, acceleration_m_s2);
        if (next >= cell.most * reached) {
            if (slope > 0.0) step_m = std::min(step_m, (cell.most - square) / slope);
            square = cell.most;
        } else {
            square = next;
        }
        way_m = step_m >= (cell.length_m - way_m) * reached ? cell.length_m : way_m + step_m;
        places.push_back({way_m, square});
        if (step_m <= 1e-15 * cell.length_m) break;
    }
    if (way_m < cell.length_m) places.push_back({cell.length_m, square});
    return square;
}

/// Over the cells in the order given; `rests[i]` tells whether the drone rests before cell i.
void pass_over(const std::vector<Cell>& cells, const std::vector<bool>& rests, double first_square,
               double acceleration_m_s2, Pass& pass) {
    pass.places.clear();
    pass.first.clear();
    double square = first_square;
    for (std::size_t i = 0; i < cells.size(); ++i) {
        pass.first.push_back(pass.places.size());
        square = pass_cell(cells[i], rests[i] ? 0.0 : square, acceleration_m_s2, pass.places);
    }
}

/// A pass's broken line over one cell, read from its start on or, backwards, from its end.
class Reader {
public:
    Reader(const Pass& pass, std::size_t cell, double length_m, bool backwards)
        : places_(pass.places), length_m_(length_m), backwards_(backwards) {
        const std::size_t begin = pass.first[cell];
        const std::size_t end =
            cell + 1 < pass.first.size() ? pass.first[cell + 1] : pass.places.size();
        at_ = backwards ? end - 1 : begin;
        left_ = end - begin - 1;
    }

    double next_m() const { return way_m(next()); }
    double next_square() const { return places_[next()].square; }
    double here() const { return places_[at_].square; }
    bool ends() const { return left_ == 0; }

    double square_at(double way) const {
        if (ends()) return here();
        const double from_m = way_m(at_);
        const double width_m = next_m() - from_m;
        const double share = width_m > 0.0 ? (way - from_m) / width_m : 1.0;
        return here() + share * (next_square() - here());
    }
    void step_to(double way) {
        while (!ends() && next_m() <= way) {
            at_ = next();
            --left_;
        }
    }

private:
    std::size_t next() const { return backwards_ ? at_ - 1 : at_ + 1; }
    double way_m(std::size_t i) const {
        return backwards_ ? length_m_ - places_[i].way_m : places_[i].way_m;
    }

    const std::vector<Place>& places_;
    double length_m_;
    bool backwards_;
    std::size_t at_ = 0;
    std::size_t left_ = 0;
};

/// Writes the slower of both passes over a cell, without the cell's start.
void add_slower(Reader on, Reader back, double edge_m, double length_m, std::size_t cell,
                std::vector<PhaseNode>& nodes) {
    double way_m = 0.0;
    double on_here = on.here();
    double back_here = back.here();
    while (!on.ends() || !back.ends()) {
        const double on_m = on.ends() ? length_m : on.next_m();
        const double back_m = back.ends() ? length_m : back.next_m();
        const double next_m = std::min(on_m, back_m);
        const double on_next = on.square_at(next_m);
        const double back_next = back.square_at(next_m);
        const double above = on_here - back_here;
        const double then = on_next - back_next;
        if ((above < 0.0 && then > 0.0) || (above > 0.0 && then < 0.0)) {
            const double share = above / (above - then);
            nodes.push_back({edge_m + way_m + (next_m - way_m) * share,
                             on_here + share * (on_next - on_here), cell});
        }
        const bool of_slower = then <= 0.0 ? on_m <= next_m : back_m <= next_m;
        if (of_slower || then == 0.0 || next_m >= length_m)
            nodes.push_back({edge_m + next_m, std::min(on_next, back_next), cell});
        on.step_to(next_m);
        back.step_to(next_m);
        way_m = next_m;
        on_here = on_next;
        back_here = back_next;
        if (next_m >= length_m) break;
    }
}

/// Drops nodes from `first` on that are too near to another; the last, the cell's end, stays. What
/// is dropped is the top of a peak, since v^2 has no valleys inside a cell.
void keep_apart(std::vector<PhaseNode>& nodes, std::size_t first, double length_m) {
    const double apart_m = std::min(least_apart_m, 1e-3 * length_m);
    const double end_m = nodes.back().arc_m;
    double before_m = nodes[first - 1].arc_m;
    const auto near = [&](const PhaseNode& node) {
        const bool drops = node.arc_m - before_m < apart_m || end_m - node.arc_m < apart_m;
        if (!drops) before_m = node.arc_m;
        return drops;
    };
    const auto begin = nodes.begin() + static_cast<std::ptrdiff_t>(first);
    nodes.erase(std::remove_if(begin, nodes.end() - 1, near), nodes.end() - 1);
}

void find_cells(const Course& course, double acceleration_m_s2, double cruise_m_s,
                std::vector<Cell>& cells) {
    cells.clear();
    for (std::size_t i = 0; i < course.cells(); ++i) {
        double most_m_s = cruise_m_s;
        if (!course.most_m_s.empty()) most_m_s = std::min(most_m_s, course.most_m_s[i]);
        double most = most_m_s * most_m_s;
        if (course.bend[i] > 0.0) most = std::min(most, acceleration_m_s2 / course.bend[i]);
        cells.push_back({course.edge_m[i + 1] - course.edge_m[i], course.bend[i], most});
    }
}

}  // namespace

const std::vector<PhaseNode>& phase_plane(const Course& course, double acceleration_m_s2,
                                          double cruise_m_s, EndSpeeds ends, PhaseRoom& room) {
    find_cells(course, acceleration_m_s2, cruise_m_s, room.cells);
    const std::size_t count = room.cells.size();
    room.rests.assign(count + 1, false);
    for (const CourseStop& stop : course.stops) room.rests[stop.edge] = true;
    const double first = ends.first_m_s * ends.first_m_s;
    const double last = ends.last_m_s * ends.last_m_s;
    pass_over(room.cells, room.rests, first, acceleration_m_s2, room.on);
    std::reverse(room.cells.begin(), room.cells.end());
    std::reverse(room.rests.begin(), room.rests.end());
    pass_over(room.cells, room.rests, last, acceleration_m_s2, room.back);
    std::reverse(room.cells.begin(), room.cells.end());
    std::vector<PhaseNode>& nodes = room.nodes;
    nodes.clear();
    for (std::size_t i = 0; i < count; ++i) {
        const double length_m = room.cells[i].length_m;
        const Reader on(room.on, i, length_m, false);
        const Reader back(room.back, count - 1 - i, length_m, true);
        if (i == 0) nodes.push_back({0.0, std::min(on.here(), back.here()), 0});
        const std::size_t begin = nodes.size();
        add_slower(on, back, course.edge_m[i], length_m, i, nodes);
        nodes.back().arc_m = course.edge_m[i + 1];
        keep_apart(nodes, begin, length_m);
    }
    return nodes;
}

}  // namespace lampflight
