#include "cli/sheets/plan_outline.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

namespace lampflight {
namespace {

/// Cells of a box that are covered or not; none beyond its edges is.
class Cells {
public:
    Cells(int columns, int rows)
        : columns_(columns),
          rows_(rows),
          covered_(static_cast<std::size_t>(columns) * static_cast<std::size_t>(rows)) {}

    int columns() const { return columns_; }
    int rows() const { return rows_; }
    bool holds(int x, int y) const { return x >= 0 && y >= 0 && x < columns_ && y < rows_; }
    bool covered(int x, int y) const { return holds(x, y) && covered_[place(x, y)]; }
    void cover(int x, int y) {
        if (holds(x, y)) covered_[place(x, y)] = true;
    }

private:
    std::size_t place(int x, int y) const {
        return static_cast<std::size_t>(y) * static_cast<std::size_t>(columns_) +
               static_cast<std::size_t>(x);
    }

    int columns_, rows_;
    std::vector<bool> covered_;
};

double cross(const Vec2& one, const Vec2& other) {
    return one.x * other.y - one.y * other.x;
}

int cell_at(double place, int count) {
    return static_cast<int>(std::floor(std::clamp(place, -1.0, 1.0 * count)));
}

/// The cells whose middles lie in a triangle; where none does, those of its corners.
void cover_triangle(Cells& cells, const Vec2& a, const Vec2& b, const Vec2& c) {
    const double turn = cross(b - a, c - a);
    const double side = turn > 0.0 ? 1.0 : -1.0;
    const int left = std::max(0, cell_at(std::min({a.x, b.x, c.x}), cells.columns()));
    const int right =
        std::min(cells.columns() - 1, cell_at(std::max({a.x, b.x, c.x}), cells.columns()));
    const int top = std::max(0, cell_at(std::min({a.y, b.y, c.y}), cells.rows()));
    const int bottom = std::min(cells.rows() - 1, cell_at(std::max({a.y, b.y, c.y}), cells.rows()));
    bool holds_middles = false;
    for (int y = top; y <= bottom; ++y)
        for (int x = left; x <= right; ++x) {
            const Vec2 middle(x + 0.5, y + 0.5);
            if (side * cross(b - a, middle - a) >= 0.0 && side * cross(c - b, middle - b) >= 0.0 &&
                side * cross(a - c, middle - c) >= 0.0) {
                cells.cover(x, y);
                holds_middles = true;
            }
        }
    if (holds_middles) return;
    for (const Vec2& corner : {a, b, c})
        cells.cover(cell_at(corner.x, cells.columns()), cell_at(corner.y, cells.rows()));
}

using Corner = std::pair<int, int>;

/// Edges between covered cells and others, each with the covered one to its right.
std::multimap<Corner, Corner> edges_of(const Cells& cells) {
    std::multimap<Corner, Corner> edges;
    for (int y = 0; y < cells.rows(); ++y)
        for (int x = 0; x < cells.columns(); ++x) {
            if (!cells.covered(x, y)) continue;
            if (!cells.covered(x, y - 1)) edges.insert({{x, y}, {x + 1, y}});
            if (!cells.covered(x + 1, y)) edges.insert({{x + 1, y}, {x + 1, y + 1}});
            if (!cells.covered(x, y + 1)) edges.insert({{x + 1, y + 1}, {x, y + 1}});
            if (!cells.covered(x - 1, y)) edges.insert({{x, y + 1}, {x, y}});
        }
    return edges;
}

double distance_to_chord(const Vec2& point, const Vec2& from, const Vec2& to) {
    const Vec2 chord = to - from;
    const double length = glm::length(chord);
    if (length == 0.0) return glm::distance(point, from);
    return std::abs(cross(chord, point - from)) / length;
}

/// Leaves out corners that lie nearer than `fine` to the line without them (Ramer 1972, Douglas and
/// Peucker 1973, from memory). Adds all of a stretch but its first.
void thin_out(const Outline& whole, std::size_t from, std::size_t to, double fine, Outline& kept) {
    std::size_t farthest = from;
    double most = fine;
    for (std::size_t i = from + 1; i < to; ++i) {
        const double off = distance_to_chord(whole[i], whole[from], whole[to]);
        if (off > most) {
            most = off;
            farthest = i;
        }
    }
    if (farthest == from) {
        kept.push_back(whole[to]);
        return;
    }
    thin_out(whole, from, farthest, fine, kept);
    thin_out(whole, farthest, to, fine, kept);
}

Outline smoothed(const Outline& steps) {
    constexpr double fine = 0.75;  // a stair of one cell becomes a slope
    Outline middles;
    for (std::size_t i = 0; i < steps.size(); ++i)
        middles.push_back(0.5 * (steps[i] + steps[(i + 1) % steps.size()]));
    middles.push_back(middles.front());
    Outline kept{middles.front()};
    const std::size_t half = middles.size() / 2;
    thin_out(middles, 0, half, fine, kept);
    thin_out(middles, half, middles.size() - 1, fine, kept);
    kept.pop_back();
    return kept;
}

std::vector<Outline> traced(const Cells& cells) {
    std::multimap<Corner, Corner> edges = edges_of(cells);
    std::vector<Outline> outlines;
    while (!edges.empty()) {
        Outline steps;
        auto edge = edges.begin();
        while (edge != edges.end()) {
            steps.emplace_back(edge->first.first, edge->first.second);
            const Corner next = edge->second;
            edges.erase(edge);
            edge = edges.find(next);
        }
        outlines.push_back(smoothed(steps));
    }
    return outlines;
}

}  // namespace

std::vector<Outline> outlines_of(const Mesh& mesh, const OnDrawing& on_drawing,
                                 const PixelBox& room, double cell) {
    if (mesh.triangles.empty()) return {};
    std::vector<Vec2> places;
    places.reserve(mesh.positions.size());
    Vec2 low(room.left + room.width, room.top + room.height), high(room.left, room.top);
    for (const glm::vec3& position : mesh.positions) {
        places.push_back(on_drawing(Vec3(position)));
        low = glm::min(low, places.back());
        high = glm::max(high, places.back());
    }
    const Vec2 corner(room.left, room.top), size(room.width, room.height);
    low = glm::clamp(low, corner, corner + size);
    high = glm::clamp(high, corner, corner + size);
    if (!(low.x < high.x || low.y < high.y)) high = low;
    Cells cells(static_cast<int>((high.x - low.x) / cell) + 1,
                static_cast<int>((high.y - low.y) / cell) + 1);
    for (const auto& corners : mesh.triangles)
        cover_triangle(cells, (places[corners[0]] - low) / cell, (places[corners[1]] - low) / cell,
                       (places[corners[2]] - low) / cell);
    std::vector<Outline> outlines = traced(cells);
    for (Outline& outline : outlines)
        for (Vec2& point : outline) point = low + cell * point;
    return outlines;
}

}  // namespace lampflight
