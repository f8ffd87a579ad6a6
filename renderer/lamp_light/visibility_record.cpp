#include "renderer/lamp_light/visibility_record.h"

#include <algorithm>
#include <cmath>

namespace lampflight {
namespace {

constexpr float step_variance = 1.0f / 12.0f;  // of a place anywhere in a step

// An edge may hide within an instant's step: this times the square of the step's share of the
// light. It matters where one instant holds most of it. Measured on the demo scenes.
constexpr float unseen_variance = 0.002f;

// Runs shorter than a step are missed or met whole. Where E edges were seen beyond the two of a
// single shadow, runs are some 1/E long, about E^2/n of them too short, each off by a step:
// variance E^2 / n^3 times this.
constexpr float missed_variance = 1.0f / 6.0f;

// Variance of a share s found without edges by n even instants: this times s (1 - s) / n^(3/2),
// between the 1/n of chance and the 1/n^2 of a single edge. Measured on the demo scenes.
constexpr float variance_of_one = 0.4f;

}  // namespace

void VisibilityRecord::start(int offset) {
    asked_ = lit_ = 0;
    offset_ = offset;
    level_ = 0;
    edges_ = -1;
    in_time_ = true;
}

void VisibilityRecord::add(int instant, float light, bool lit) {
    const std::uint64_t bit = std::uint64_t{1} << instant;
    asked_ |= bit;
    if (lit) lit_ |= bit;
    light_[static_cast<std::size_t>(instant)] = light;
}

void VisibilityRecord::find_edges(bool lamp_moves) {
    edges_ = 0;
    in_time_ = lamp_moves;
    if (!lamp_moves) return;
    const int step = instants / level_;
    const auto lit_at = [&](int i) { return (lit_ >> i & 1u) != 0; };
    std::array<int, most_edges + 1> run{};  // instants before each edge, and after the last
    int first = -1;                         // instants with light
    int before = -1;
    const auto add_edge = [&](int after) {
        edge_[static_cast<std::size_t>(edges_++)] = {static_cast<std::int8_t>(before),
                                                     static_cast<std::int8_t>(after),
                                                     lit_at(before), after - before == step};
    };
    for (int i = offset_ % step; i < instants; i += step) {
        if (light_[static_cast<std::size_t>(i)] > 0.0f) {
            if (first < 0) first = i;
            if (before >= 0 && lit_at(i) != lit_at(before)) {
                if (edges_ + 1 == most_edges) {
                    edges_ = 0;
                    in_time_ = false;
                    return;
                }
                add_edge(i);
            }
            before = i;
        }
        ++run[static_cast<std::size_t>(edges_)];  // without light: as the one before
    }
    if (edges_ == 0) return;
    // The lattice closes to a ring, and so do the runs: the first and last step are one.
    if (lit_at(before) != lit_at(first))
        add_edge(first + instants);
    else
        run[0] += run[static_cast<std::size_t>(edges_)];
    for (int e = 0; e < edges_; ++e)
        if (run[static_cast<std::size_t>(e)] == 1 ||
            run[static_cast<std::size_t>((e + 1) % edges_)] == 1)
            edge_[static_cast<std::size_t>(e)].movable = false;
}

float VisibilityRecord::place_of(int e) const {
    const Edge& at = edge(e);
    const float place =
        static_cast<float>(at.before) + at.middle() * static_cast<float>(at.after - at.before);
    return place < instants ? place : place - instants;
}

void VisibilityRecord::narrow(int e, bool lit) {
    Edge& at = edge_[static_cast<std::size_t>(e)];
    (lit == at.lit_before ? at.low : at.high) = at.middle();
}

/// Whether what is known of an edge's place may count.
bool VisibilityRecord::settles(int e) const {
    const int step = instants / level_;
    const auto is_short = [&](int left, int right) {
        // A run of two instants between two edges, shorter than two steps.
        return (edge(right).before - edge(left).after + instants) % instants == step &&
               edge(right).middle() < edge(left).middle();
    };
    return !is_short((e + edges_ - 1) % edges_, e) && !is_short(e, (e + 1) % edges_);
}

VisibilityRecord::Estimate VisibilityRecord::estimate() const {
    float all = 0.0f;
    float arrived = 0.0f;
    float squares = 0.0f;
    const int step = instants / level_;
    for (int i = offset_ % step; i < instants; i += step) {
        const float light = light_[static_cast<std::size_t>(i)];
        all += light;
        squares += light * light;
        if ((lit_ >> i & 1u) != 0) arrived += light;
    }
    if (all <= 0.0f) return {};
    Estimate found;
    found.blind = false;
    found.still_variance = unseen_variance * squares / (all * all);
    for (int e = 0; e < edges_; ++e) {
        const Edge& at = edge(e);
        const float light = weight(at);
        const float of_share = light * light / (all * all) * step_variance;
        if (at.movable) {
            found.edge_variance += of_share * at.width() * at.width();
            // By the lattice alone the edge lies in the middle of its step.
            if (at.width() < 1.0f && settles(e))
                arrived += (at.lit_before ? 1.0f : -1.0f) * (at.middle() - 0.5f) * light;
        } else {
            found.still_variance += of_share;
        }
    }
    found.visibility = std::clamp(arrived / all, 0.0f, 1.0f);
    const auto n = static_cast<float>(level_);
    const auto more = static_cast<float>(std::max(edges_ - 2, 0));
    found.still_variance += more * more / (n * n * n) * missed_variance;
    if (!in_time_) {
        found.still_variance +=
            variance_of_one * found.visibility * (1.0f - found.visibility) / (n * std::sqrt(n));
    }
    return found;
}

}  // namespace lampflight
