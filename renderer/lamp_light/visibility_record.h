// Visibility record: when one receiver saw the lamp: up to 64 even instants on the light clock,
// which of them the lamp reached, and the edges of shadow between them.
//
// Instants come on nested lattices: at level n (a power of two) every (64/n)th from the receiver's
// own offset on. Each stands for a step 1/n of the light, so that the lit ones' share of the light
// is an unbiased estimate (offsets differ from receiver to receiver). An edge between two instants
// lies anywhere in its step, variance 1/12 step^2; `narrow` halves the step by another ray. Edges
// beside a run of one instant are left alone, and those of a run of two that turns out shorter than
// two steps: such runs are met in proportion to their length, so each that is met counts as full
// steps. For the same reason a lattice may be refined only for all receivers of a neighbourhood
// together: refined where a thin shadow was met, and not where it was missed, it would come out too
// light.
//
// The clock is taken for a ring: the step between the last instant and the first may hold an edge
// as well. Lit until the end and dark at the beginning is an edge at the seam itself; taken for
// none, it would leave a lone edge as uncertain as its step, however far that one is narrowed.
#pragma once

#include <array>
#include <bit>
#include <cstddef>
#include <cstdint>

namespace lampflight {

/// Which of up to 16 film samples looks at an instant. On a lattice of no fewer instants each of a
/// power of two of samples has an equal part, in an order that never repeats: bit b of its number
/// is the parity of the instant's every so manyth bit from b on.
inline std::size_t sample_at(int instant, std::size_t samples) {
    constexpr std::array<unsigned, 5> every{0, 0x3f, 0x15, 0x09, 0x11};
    const auto width = static_cast<std::size_t>(std::bit_width(samples - 1));
    std::size_t number = 0;
    for (std::size_t b = 0; b < width; ++b)
        if (std::popcount(static_cast<unsigned>(instant) >> b & every[width]) % 2 != 0)
            number |= std::size_t{1} << b;
    return number % samples;
}

class VisibilityRecord {
public:
    static constexpr int instants = 64;

    /// Empties the record; `offset` is that of the coarsest lattice.
    void start(int offset);

    int level() const { return level_; }

    /// Goes to a finer lattice, forgetting edges. Calls `ask(instant)` for each one that is new.
    template <class Ask>
    void refine_to(int level, Ask ask) {
        level_ = level;
        edges_ = -1;
        const int step = instants / level;
        for (int i = offset_ % step; i < instants; i += step)
            if ((asked_ >> i & 1u) == 0) ask(i);
    }

    void add(int instant, float light, bool lit);

    /// Finds the edges once all of a level's instants are in. A lamp that stands has none: its
    /// instants differ by where on its face they look.
    void find_edges(bool lamp_moves);

    /// An edge of shadow, between two instants that follow each other on the lattice.
    struct Edge {
        std::int8_t before;
        std::int8_t after;  ///< counts on past 64 where the last meets the first
        bool lit_before;
        bool movable;      ///< has runs of more than one instant on either side, and light
        float low = 0.0f;  ///< it lies between these, in steps after `before`
        float high = 1.0f;

        float middle() const { return 0.5f * (low + high); }
        float width() const { return high - low; }
    };
    static constexpr int most_edges = 40;

    bool edges_unknown() const { return edges_ < 0; }
    int edges() const { return edges_; }
    const Edge& edge(int e) const { return edge_[static_cast<std::size_t>(e)]; }

    /// Where on the clock an edge's middle lies, in [0, 64) instants.
    float place_of(int e) const;

    /// A ray at the middle of an edge's step.
    void narrow(int e, bool lit);

    struct Estimate {
        float visibility = 0.0f;      ///< share of the light that arrives
        bool blind = true;            ///< no instant had any light
        float still_variance = 0.0f;  ///< of the share: by edges that only a finer lattice helps
        float edge_variance = 0.0f;   ///< by edges that can be narrowed
        float variance() const { return still_variance + edge_variance; }
    };
    Estimate estimate() const;

private:
    float weight(const Edge& edge) const {
        return 0.5f * (light_[static_cast<std::size_t>(edge.before)] +
                       light_[static_cast<std::size_t>(edge.after % instants)]);
    }
    bool settles(int e) const;

    std::uint64_t asked_ = 0;
    std::uint64_t lit_ = 0;
    int offset_ = 0;
    int level_ = 0;
    int edges_ = 0;
    bool in_time_ = true;  ///< edges were looked for, and there was room for all
    std::array<float, instants> light_;
    std::array<Edge, most_edges> edge_;
};

}  // namespace lampflight
