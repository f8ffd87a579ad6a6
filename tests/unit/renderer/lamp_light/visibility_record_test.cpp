#include "renderer/lamp_light/visibility_record.h"

#include <algorithm>
#include <cmath>
#include <set>

#include "renderer/sampling/low_discrepancy.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

/// A made-up sight of a lamp: dark on [from, to) of the light clock, else lit; light is
/// constant.
struct DarkStretch {
    double from;
    double to;
    bool lit(double u) const { return u < from || u >= to; }
    double share() const { return 1.0 - (std::min(to, 1.0) - std::max(from, 0.0)); }
};

// As LampTile has it: the lamp's face blurs what is narrower.
constexpr float lamp_tile_narrowest = 0.2f;

/// A record of one receiver, with the rays that it took. `shift` is the clock's.
template <class Sight>
struct Watched {
    const Sight& shadow_test;
    float shift;
    VisibilityRecord record;
    int rays = 0;

    bool lit(float instant) const {
        return shadow_test.lit(fraction((instant + shift) / VisibilityRecord::instants));
    }

    void refine(int level) {
        record.refine_to(level, [&](int i) {
            record.add(i, 1.0f, lit(static_cast<float>(i)));
            ++rays;
        });
        record.find_edges(true);
    }

    /// Halves the steps of all edges that may be narrowed, as long as they are wider.
    void narrow(float narrowest) {
        for (bool more = true; more;) {
            more = false;
            for (int e = 0; e < record.edges(); ++e) {
                if (!record.edge(e).movable || record.edge(e).width() <= narrowest) continue;
                record.narrow(e, lit(record.place_of(e)));
                ++rays;
                more = true;
            }
        }
    }

    /// The way of LampTile: a finer lattice while that is where the error lies, else the edges,
    /// until the expected variance of the share is low enough.
    void solve(int level, float allowed_variance) {
        refine(level);
        for (int round = 0; round < 8; ++round) {
            const VisibilityRecord::Estimate now = record.estimate();
            if (now.edge_variance <= allowed_variance) return;
            for (int e = 0; e < record.edges(); ++e)
                if (record.edge(e).movable && record.edge(e).width() > lamp_tile_narrowest) {
                    record.narrow(e, lit(record.place_of(e)));
                    ++rays;
                }
        }
    }
};

template <class Sight>
Watched<Sight> watch(const Sight& shadow_test, int offset, float shift) {
    Watched<Sight> started{shadow_test, shift, {}};
    started.record.start(offset);
    return started;
}

/// Errors of the shares of many records.
struct Errors {
    double hidden = 0.0;  ///< share, mean
    double mean = 0.0;
    double rms = 0.0;
    double expected = 0.0;  ///< rms by the records' own estimates
    double rays = 0.0;      ///< a record
};

/// All 16 offsets, shifts and places of a stretch so wide, which may reach over the clock's ends.
template <class Solve>
Errors errors_of(double width, Solve solve) {
    constexpr int places = 4096;
    Errors errors;
    for (int k = 0; k < 16 * places; ++k) {
        const glm::vec2 place = plane_place(static_cast<std::uint32_t>(k / 16));
        const double from = static_cast<double>(place.x) * (1.0 + width) - width;
        const DarkStretch dark{from, from + width};
        Watched<DarkStretch> receiver = watch(dark, k % 16, place.y);
        solve(receiver);
        const VisibilityRecord::Estimate found = receiver.record.estimate();
        const double off = static_cast<double>(found.visibility) - dark.share();
        errors.hidden += 1.0 - dark.share();
        errors.mean += off;
        errors.rms += off * off;
        errors.expected += static_cast<double>(found.variance());
        errors.rays += receiver.rays;
    }
    constexpr double count = 16.0 * places;
    return {errors.hidden / count, errors.mean / count, std::sqrt(errors.rms / count),
            std::sqrt(errors.expected / count), errors.rays / count};
}

constexpr std::array widths_in_steps{0.1, 0.3, 0.7, 1.0, 1.3, 1.8, 2.0, 2.5, 3.2, 5.0};

}  // namespace

TEST_CASE("lattices are nested and even, and no instant is asked twice") {
    for (int offset = 0; offset < 16; ++offset) {
        VisibilityRecord record;
        record.start(offset);
        std::set<int> asked;
        for (const int level : {4, 8, 16, 32, 64}) {
            record.refine_to(level, [&](int i) {
                CHECK(asked.insert(i).second);
                record.add(i, 1.0f, true);
            });
            CHECK(record.level() == level);
            REQUIRE(asked.size() == static_cast<std::size_t>(level));
            for (const int i : asked)
                CHECK((i - offset) % (VisibilityRecord::instants / level) == 0);
        }
    }
}

TEST_CASE("a level may be skipped, and instants may be known before") {
    VisibilityRecord record;
    record.start(5);
    for (const int i : {5, 21, 37, 53}) record.add(i, 1.0f, true);
    int asked = 0;
    record.refine_to(16, [&](int i) {
        ++asked;
        record.add(i, 1.0f, true);
    });
    CHECK(asked == 12);
    record.find_edges(true);
    CHECK(record.edges() == 0);
    CHECK(record.estimate().visibility == 1.0f);
}

// An edge known to 2^-10 of a step leaves half of that, and single precision less.
TEST_CASE("stretches of more than two steps are exact after narrowing") {
    for (const int level : {8, 16, 64})
        for (int k = 0; k < 16 * 64; ++k) {
            const glm::vec2 place = plane_place(static_cast<std::uint32_t>(k / 16));
            const double step = 1.0 / level;
            const double width = (2.05 + 1.8 * static_cast<double>(place.y)) * step;
            const double from =
                2.05 * step + static_cast<double>(place.x) * (1.0 - width - 4.1 * step);
            const DarkStretch dark{from, from + width};
            Watched<DarkStretch> receiver =
                watch(dark, k % 16, golden_place(static_cast<std::uint32_t>(k)));
            receiver.refine(level);
            receiver.narrow(0x1p-10f);
            REQUIRE(receiver.record.edges() == 2);
            CHECK_WITHIN(static_cast<double>(receiver.record.estimate().visibility), dark.share(),
                         2.0 * 0x1p-11 * step + 1e-6);
        }
}

// A shadow that comes and stays: its other edge is the clock's own seam.
TEST_CASE("a single edge is exact after narrowing") {
    for (const int level : {8, 16, 64})
        for (int k = 0; k < 16 * 64; ++k) {
            const float place = golden_place(static_cast<std::uint32_t>(k / 16));
            const double step = 1.0 / level;
            const double from = 2.05 * step + static_cast<double>(place) * (1.0 - 4.1 * step);
            const DarkStretch dark{from, 1.0};
            Watched<DarkStretch> receiver =
                watch(dark, k % 16, hashed_place(static_cast<std::uint32_t>(k), 7));
            receiver.refine(level);
            receiver.narrow(0x1p-10f);
            CHECK_WITHIN(static_cast<double>(receiver.record.estimate().visibility), from,
                         2.0 * 0x1p-11 * step + 1e-6);
        }
}

// Thin ones are met by chance: the mean over 65536 records on even places is left with some 0.002
// steps, and 1 % of what is hidden covers the rest.
TEST_CASE("shares are unbiased whatever an occluder's width") {
    for (const int level : {8, 16, 64})
        for (const double width : widths_in_steps) {
            const Errors errors = errors_of(width / level, [&](auto& receiver) {
                receiver.refine(level);
                receiver.narrow(lamp_tile_narrowest);
            });
            INFO("level ", level, ", ", width, " steps: bias ", (errors.mean * level), " of rms ",
                 (errors.rms * level), " steps");
            CHECK(std::abs(errors.mean) < 0.002 / level + 0.01 * errors.hidden);
        }
}

// What no instant met can't be expected: by a record's own word the error of a stretch of a tenth
// of a step is 0.18 steps, and it is 0.30. The allowance for what hides unseen weighs most on a
// fine lattice, where it is 0.36 steps.
TEST_CASE("the variance of a share is about what a record expects") {
    for (const int level : {8, 16, 64})
        for (const double width : widths_in_steps) {
            const Errors errors = errors_of(width / level, [&](auto& receiver) {
                receiver.refine(level);
                receiver.narrow(lamp_tile_narrowest);
            });
            INFO("level ", level, ", ", width, " steps: rms ", (errors.rms * level), ", expected ",
                 (errors.expected * level), " steps");
            CHECK(errors.rms < 2.0 * errors.expected);
            CHECK(errors.expected * level < 2.0 * errors.rms * level + 0.4);
        }
}

TEST_CASE("narrowing leaves a fifth of a step, and its variance says so") {
    const DarkStretch dark{0.3, 0.62};
    Watched<DarkStretch> receiver = watch(dark, 3, 0.4f);
    receiver.refine(16);
    // Two edges anywhere in their steps: 2 / 12 / 16^2.
    CHECK_RELATIVE(static_cast<double>(receiver.record.estimate().edge_variance),
                   2.0 / 12.0 / 256.0, 1e-5);
    receiver.narrow(lamp_tile_narrowest);
    CHECK(receiver.rays == 16 + 2 * 3);
    CHECK_RELATIVE(static_cast<double>(receiver.record.estimate().edge_variance),
                   2.0 / 12.0 / 256.0 / 64.0, 1e-5);
    CHECK_WITHIN(static_cast<double>(receiver.record.estimate().visibility), dark.share(),
                 2.0 * 0.0625 / 16.0);
}

// With few instants and a bound that they meet at once.
TEST_CASE("solving as far as a wide bound asks leaves no bias") {
    constexpr float error = 0.06f;
    for (const double width : {0.01, 0.03, 0.06, 0.1, 0.2, 0.5}) {
        const Errors errors =
            errors_of(width, [&](auto& receiver) { receiver.solve(8, error * error); });
        INFO("width ", width, ": bias ", errors.mean, " of rms ", errors.rms);
        CHECK(std::abs(errors.mean) < 0.0005 + 0.01 * errors.hidden);
        CHECK(errors.rms < 1.1 * static_cast<double>(error));
    }
}

TEST_CASE("instants without light neither tell nor count") {
    const auto lit_in = [](int i) { return i >= 16 && i < 48; };  // has light
    VisibilityRecord record;
    record.start(0);
    record.refine_to(64,
                     [&](int i) { record.add(i, lit_in(i) ? 2.0f : 0.0f, lit_in(i) && i < 40); });
    record.find_edges(true);
    CHECK(record.estimate().visibility == 24.0f / 32.0f);
    CHECK_FALSE(record.estimate().blind);

    // A gap of light between lit and dark: an edge that no ray could place.
    record.start(0);
    record.refine_to(64, [&](int i) { record.add(i, i < 20 || i > 30 ? 1.0f : 0.0f, i < 20); });
    record.find_edges(true);
    CHECK(record.edge(0).before == 19);
    CHECK(record.edge(0).after == 31);
    CHECK_FALSE(record.edge(0).movable);
    CHECK_RELATIVE(static_cast<double>(record.estimate().visibility), 20.0 / 53.0, 1e-6);

    record.start(3);
    record.refine_to(16, [&](int i) { record.add(i, 0.0f, false); });
    record.find_edges(true);
    CHECK(record.estimate().blind);
    CHECK(record.estimate().visibility == 0.0f);
    CHECK(record.estimate().variance() == 0.0f);
}

TEST_CASE("bright instants weigh more") {
    VisibilityRecord record;
    record.start(0);
    // Dark for the bright half: 8 x 1 of 8 x 1 + 8 x 3.
    record.refine_to(16, [&](int i) { record.add(i, i < 32 ? 1.0f : 3.0f, i < 32); });
    record.find_edges(true);
    CHECK(record.estimate().visibility == 0.25f);
}

// A comb of single instants has 63 edges or more and room for 40.
TEST_CASE(
    "more edges than there is room for: the plain share, and a variance between chance and even") {
    VisibilityRecord record;
    record.start(0);
    record.refine_to(64, [&](int i) { record.add(i, 1.0f, i % 2 == 0); });
    record.find_edges(true);
    CHECK(record.edges() == 0);
    const VisibilityRecord::Estimate found = record.estimate();
    CHECK(found.visibility == 0.5f);
    CHECK(found.still_variance > 0.25f / (64.0f * 64.0f));
    CHECK(found.still_variance < 0.25f / 64.0f);
    CHECK(found.edge_variance == 0.0f);
}

TEST_CASE("a standing lamp has no edges in time") {
    VisibilityRecord record;
    record.start(7);
    record.refine_to(16, [&](int i) { record.add(i, 1.0f, i < 20); });
    record.find_edges(false);
    CHECK_FALSE(record.edges_unknown());
    CHECK(record.edges() == 0);
    const VisibilityRecord::Estimate part = record.estimate();
    CHECK(part.visibility == 5.0f / 16.0f);
    record.start(7);
    record.refine_to(16, [&](int i) { record.add(i, 1.0f, true); });
    record.find_edges(false);
    CHECK(record.estimate().visibility == 1.0f);
    CHECK(record.estimate().variance() < 0.2f * part.variance());
}

TEST_CASE("a record that starts again has forgotten all") {
    VisibilityRecord record;
    record.start(0);
    record.refine_to(64, [&](int i) { record.add(i, 1.0f, i < 30); });
    record.find_edges(true);
    record.start(9);
    CHECK(record.edges_unknown());
    int asked = 0;
    record.refine_to(8, [&](int i) {
        ++asked;
        record.add(i, 1.0f, false);
    });
    CHECK(asked == 8);
    record.find_edges(true);
    CHECK(record.estimate().visibility == 0.0f);
}
