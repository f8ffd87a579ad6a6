#include "scene/flights/files/svg_flatten.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>

#include "scene/basics/angle.h"

namespace lampflight {
namespace {

constexpr double most_turn_rad = radians(6.0);
constexpr double even_joint_rad = radians(1.0);
// Of a bend too tight to follow: more than this can't be flown through.
constexpr double corner_rad = radians(30.0);
constexpr double tight_share = 1.0 / 16.0;
constexpr int deepest = 40;

using Handles = std::array<Vec2, 4>;

/// Of an arc, in angles.
struct ArcPiece {
    double from_rad;
    double to_rad;
};

class Chords {
public:
    Chords(const SvgFineness& fineness, std::size_t most_points)
        : fineness_(fineness), most_points_(most_points) {}

    void start(const Vec2& at) { push(at, true); }

    void add(const SvgSegment& segment) {
        const std::size_t joint = stroke_.points.size() - 1;
        const Vec2 from = stroke_.points[joint];
        Vec2 leaving(0.0);
        Vec2 arriving(0.0);
        if (const auto* cubic = std::get_if<SvgCubic>(&segment)) {
            const Handles p{from, cubic->first_handle, cubic->second_handle, cubic->to};
            leaving = first_of(std::array{p[1] - p[0], p[2] - p[0], p[3] - p[0]});
            arriving = first_of(std::array{p[3] - p[2], p[3] - p[1], p[3] - p[0]});
            split(p, 0);
        } else if (const auto* arc = std::get_if<SvgArc>(&segment)) {
            const double sign = arc->swept_rad < 0.0 ? -1.0 : 1.0;
            const double end_rad = arc->from_rad + arc->swept_rad;
            leaving = sign * arc->tangent(arc->from_rad);
            arriving = sign * arc->tangent(end_rad);
            add_arc(*arc);
        }
        end(end_of(segment), joint);
        const std::size_t last = stroke_.points.size() - 1;
        if (last == joint) return;
        if (glm::length(leaving) <= fineness_.negligible)
            leaving = stroke_.points[joint + 1] - from;
        if (glm::length(arriving) <= fineness_.negligible)
            arriving = stroke_.points[last] - stroke_.points[last - 1];
        if (arrived_)
            stroke_.corner[joint] = turn(*arrived_, leaving) > even_joint_rad;
        else
            left_ = leaving;
        arrived_ = arriving;
        mark_tight_bends(joint);
    }

    void close() {
        stroke_.closed = true;
        if (stroke_.points.size() > 2 && near(stroke_.points.back(), stroke_.points.front())) {
            stroke_.points.pop_back();
            stroke_.corner.pop_back();
        }
        if (arrived_) stroke_.corner.front() = turn(*arrived_, left_) > even_joint_rad;
    }

    bool full() const { return stroke_.points.size() > most_points_; }
    SvgStroke stroke() && { return std::move(stroke_); }

private:
    /// The first that has a length; zero where none has.
    template <std::size_t count>
    Vec2 first_of(const std::array<Vec2, count>& ways) const {
        for (const Vec2& way : ways)
            if (glm::length(way) > fineness_.negligible) return way;
        return Vec2(0.0);
    }

    bool near(const Vec2& one, const Vec2& other) const {
        return glm::distance(one, other) <= fineness_.negligible;
    }

    /// The angle between two ways, 0 to pi; 0 where one of them has no length.
    double turn(const Vec2& before, const Vec2& after) const {
        if (glm::length(before) <= fineness_.negligible ||
            glm::length(after) <= fineness_.negligible)
            return 0.0;
        return std::atan2(std::abs(before.x * after.y - before.y * after.x),
                          glm::dot(before, after));
    }

    /// How far a point lies from the line through two others.
    double aside(const Vec2& point, const Vec2& from, const Vec2& to) const {
        const Vec2 chord = to - from;
        const double length = glm::length(chord);
        const Vec2 way = point - from;
        if (length <= fineness_.negligible) return glm::length(way);
        return std::abs(way.x * chord.y - way.y * chord.x) / length;
    }

    bool is_fine(const Handles& p) const {
        const Vec2 a = p[1] - p[0];
        const Vec2 b = p[2] - p[1];
        const Vec2 c = p[3] - p[2];
        if (glm::length(a) + glm::length(b) + glm::length(c) < tight_share * fineness_.chord)
            return true;
        // A middle leg without length hides the turn between the others.
        const double turned =
            glm::length(b) <= fineness_.negligible ? turn(a, c) : turn(a, b) + turn(b, c);
        // The hull of the handles holds the curve.
        return turned <= most_turn_rad && aside(p[1], p[0], p[3]) <= fineness_.chord &&
               aside(p[2], p[0], p[3]) <= fineness_.chord;
    }

    bool is_fine(const SvgArc& arc, const ArcPiece& piece) const {
        const Vec2 from = arc.point(piece.from_rad);
        const Vec2 to = arc.point(piece.to_rad);
        const Vec2 middle = arc.point(0.5 * (piece.from_rad + piece.to_rad));
        if (glm::distance(from, middle) + glm::distance(middle, to) < tight_share * fineness_.chord)
            return true;
        return turn(arc.tangent(piece.from_rad), arc.tangent(piece.to_rad)) <= most_turn_rad &&
               aside(middle, from, to) <= fineness_.chord;
    }

    void split(const Handles& p, int depth) {
        if (full()) return;
        if (depth == deepest || is_fine(p)) {
            push(p[3], false);
            return;
        }
        // De Casteljau's halves.
        const Vec2 ab = 0.5 * (p[0] + p[1]);
        const Vec2 bc = 0.5 * (p[1] + p[2]);
        const Vec2 cd = 0.5 * (p[2] + p[3]);
        const Vec2 abc = 0.5 * (ab + bc);
        const Vec2 bcd = 0.5 * (bc + cd);
        const Vec2 middle = 0.5 * (abc + bcd);
        split({p[0], ab, abc, middle}, depth + 1);
        split({middle, bcd, cd, p[3]}, depth + 1);
    }

    void split(const SvgArc& arc, const ArcPiece& piece, int depth) {
        if (full()) return;
        if (depth == deepest || is_fine(arc, piece)) {
            push(arc.point(piece.to_rad), false);
            return;
        }
        const double middle_rad = 0.5 * (piece.from_rad + piece.to_rad);
        split(arc, {piece.from_rad, middle_rad}, depth + 1);
        split(arc, {middle_rad, piece.to_rad}, depth + 1);
    }

    /// In quarters, within which an ellipse's tangents turn by less than half a circle.
    void add_arc(const SvgArc& arc) {
        const int quarters =
            std::max(1, static_cast<int>(std::ceil(std::abs(arc.swept_rad) / (0.5 * pi) - 1e-9)));
        const double step_rad = arc.swept_rad / quarters;
        for (int quarter = 0; quarter < quarters; ++quarter) {
            const double from_rad = arc.from_rad + quarter * step_rad;
            split(arc, {from_rad, from_rad + step_rad}, 0);
        }
    }

    void push(const Vec2& point, bool corner) {
        if (!stroke_.points.empty() && near(stroke_.points.back(), point)) return;
        stroke_.points.push_back(point);
        stroke_.corner.push_back(corner);
    }

    /// The segment's own end, in place of a point of its curve that lies there.
    void end(const Vec2& point, std::size_t joint) {
        if (stroke_.points.size() - 1 > joint && near(stroke_.points.back(), point))
            stroke_.points.back() = point;
        push(point, true);
        if (stroke_.points.size() - 1 > joint) stroke_.corner.back() = true;
    }

    /// Where a curve turns back on itself, or nearly, no drone flies through.
    void mark_tight_bends(std::size_t joint) {
        for (std::size_t at = joint + 1; at + 1 < stroke_.points.size(); ++at)
            stroke_.corner[at] = turn(stroke_.points[at] - stroke_.points[at - 1],
                                      stroke_.points[at + 1] - stroke_.points[at]) > corner_rad;
    }

    SvgFineness fineness_;
    std::size_t most_points_;
    SvgStroke stroke_;
    std::optional<Vec2> arrived_;  ///< tangent at the end of the segment before
    Vec2 left_{0.0};               ///< tangent with which the stroke begins
};

}  // namespace

SvgFineness fineness_of(double larger_side) {
    return {larger_side / 4000.0, larger_side * 1e-9};
}

SvgStroke flatten(const SvgSubpath& subpath, const SvgFineness& fineness, std::size_t most_points) {
    Chords chords(fineness, most_points);
    chords.start(subpath.start);
    for (const SvgSegment& segment : subpath.segments) {
        if (chords.full()) break;
        chords.add(segment);
    }
    if (subpath.closed) chords.close();
    return std::move(chords).stroke();
}

}  // namespace lampflight
