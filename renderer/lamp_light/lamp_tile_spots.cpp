// How a lamp's tile solves a block pixel by pixel.
#include <algorithm>
#include <bit>
#include <cmath>
#include <limits>

#include "renderer/lamp_light/lamp_tile.h"
#include "scene/basics/vector.h"

namespace lampflight {
namespace {

// Pixels darker than this share of their unshadowed light may err as if they were so bright.
constexpr float least_share = 0.1f;

// An edge narrower than this share of its step stays as it is: the lamp's face blurs it.
constexpr float narrowest = 0.2f;

constexpr int most_rounds = 8;

// The spots of a pixel begin their lattices apart by these.
constexpr std::array<int, 8> spot_offsets{0, 2, 4, 6, 1, 3, 5, 7};

}  // namespace

/// Instants that a spot starts with: more where it stands for more of its pixel.
int LampTile::level_of(std::size_t block, const Spot& spot) const {
    const auto solved = static_cast<std::size_t>(solved_instants_);
    const std::size_t wanted =
        4 * solved * spot.samples / view_->samples[block][static_cast<std::size_t>(spot.lane)];
    return static_cast<int>(
        std::clamp(std::bit_floor(wanted), std::min<std::size_t>(4, solved), solved));
}

/// In a plain block a pixel is one spot; elsewhere each film sample is, as one may see what the
/// next does not.
void LampTile::gather_spots(std::size_t block, bool as_one) {
    spots_.clear();
    const auto all = view_->blocks[block].size();
    const std::size_t together = as_one ? all : 1;
    for (int i = 0; i < packet_size; ++i)
        for (std::size_t first = 0; first < all; first += together) {
            float light = 0.0f;
            for (std::size_t j = first; j < first + together; ++j)
                light += luminance(view_->blocks[block][j].reflectance.at(i)) *
                         unshadowed_lxs_[block][j][i];
            if (light <= 0.0f) continue;
            Spot& spot = spots_.emplace_back();
            spot.lane = i;
            spot.first_sample = first;
            spot.samples = together;
            spot.light = view_->sample_share(block, i) * light;
        }
}

/// Instants that a block's spots start with. In a plain block so many that what its neighbours'
/// edges foretell stays within the bound: E edges at n instants leave about E^2 / 1.5 n^3
/// that narrowing can't mend (measured on the demo scenes). What the block itself has met has no
/// say in it (see visibility_record.h).
int LampTile::instants_for(const Job& job, std::size_t block) const {
    const auto kindness = static_cast<double>(leniency(job, block));
    double wanted = effort_->solved_instants / kindness;
    if (view_->plain[block]) {
        const auto edges = static_cast<double>(field_.edges_around(block));
        const double error = static_cast<double>(effort_->shadow_error) * kindness;
        wanted = std::max(wanted, std::cbrt(edges * edges / (1.5 * error * error)));
    }
    return std::clamp(1 << std::max(0, static_cast<int>(std::lround(std::log2(wanted)))),
                      effort_->first_instants, 2 * SightRecord::instants);
}

void LampTile::solve(const Job& job, std::size_t block) {
    solved_instants_ = instants_for(job, block);
    const bool begun = view_->plain[block] && solved_instants_ <= SightRecord::instants;
    solved_instants_ = std::min(solved_instants_, SightRecord::instants);
    gather_spots(block, begun);
    own_share_ = 1.0f;
    queue_.clear();
    int of_lane = 0;
    for (std::size_t s = 0; s < spots_.size(); ++s) {
        Spot& spot = spots_[s];
        of_lane = s > 0 && spots_[s - 1].lane == spot.lane ? of_lane + 1 : 0;
        // The spots of a pixel look at different instants.
        const int offset = first_offset(block, spot.lane) +
                           spot_offsets[static_cast<std::size_t>(of_lane) % spot_offsets.size()];
        spot.record.start(offset);
        spot.asked = true;
        const int step = SightRecord::instants / effort_->first_instants;
        for (int m = 0; begun && m < effort_->first_instants; ++m)
            spot.record.add(first_offset(block, spot.lane) % step + step * m,
                            first_[block].light[static_cast<std::size_t>(m)][spot.lane],
                            has_lane(first_[block].lit[static_cast<std::size_t>(m)], spot.lane));
        spot.record.refine_to(level_of(block, spot), [&](int instant) {
            queue_.push_back(
                {static_cast<std::uint16_t>(s), static_cast<std::int8_t>(instant), -1});
        });
    }
    ask_all(job, block);
    if (begun) compare_cells();
    // A standing lamp's shadows have no edges in time to foretell them by.
    const bool foretold = begun && job.track.moves();
    while (!foretold && refine_together(block, job.usual_light)) {
        ask_all(job, block);
        if (begun) compare_cells();
    }
    for (int round = 0; round < most_rounds; ++round) {
        narrow_doubtful(job.usual_light);
        if (queue_.empty()) break;
        ask_all(job, block);
        if (begun) compare_cells();
    }
    if (begun) blend_cells();
    const float usual = usual_share();
    for (const Spot& spot : spots_)
        for (std::size_t k = 0; k < spot.samples; ++k)
            reflected_lxs_[tile_pixel(block, spot.lane)] +=
                (spot.estimate.blind ? usual : spot.estimate.share) *
                unshadowed(job, block, spot.first_sample + k, spot.lane);
}

/// Queues a finer lattice for all pixels of the block with few film samples, and for all with many,
/// if that is what it takes.
bool LampTile::refine_together(std::size_t block, float usual_light) {
    queue_.clear();
    // By how many samples a pixel has, which what its spots met has no say in.
    const auto kind_of = [&](const Spot& spot) {
        return view_->samples[block][static_cast<std::size_t>(spot.lane)] ==
                       view_->blocks[block].size()
                   ? 1u
                   : 0u;
    };
    std::array<float, 2> error{}, allowed{};
    for_each_pixel([&](std::span<const Spot> spots) {
        const Pixel pixel = sum_of(spots);
        error[kind_of(spots.front())] += left_variance() * pixel.still_variance;
        allowed[kind_of(spots.front())] += allowed_variance(pixel, usual_light);
    });
    for (std::size_t s = 0; s < spots_.size(); ++s)
        if (spots_[s].record.level() < SightRecord::instants &&
            error[kind_of(spots_[s])] > allowed[kind_of(spots_[s])])
            spots_[s].record.refine_to(2 * spots_[s].record.level(), [&](int instant) {
                queue_.push_back(
                    {static_cast<std::uint16_t>(s), static_cast<std::int8_t>(instant), -1});
            });
    return !queue_.empty();
}

/// Calls `visit` with the spots of each 2 x 2 pixels of a plain block.
template <class Visit>
void LampTile::for_each_cell(Visit visit) {
    std::array<std::array<Spot*, 4>, 4> cells{};
    std::array<std::size_t, 4> count{};
    for (Spot& spot : spots_) {
        if (spot.estimate.blind) continue;
        const auto cell = static_cast<std::size_t>(spot.lane / 8 * 2 + spot.lane % 4 / 2);
        cells[cell][count[cell]++] = &spot;
    }
    for (std::size_t c = 0; c < cells.size(); ++c)
        if (count[c] > 1) visit(std::span(cells[c].data(), count[c]));
}

float LampTile::mean_share(std::span<Spot* const> cell) {
    float sum = 0.0f;
    for (const Spot* spot : cell) sum += spot->estimate.share;
    return sum / static_cast<float>(cell.size());
}

/// How much of what sets pixels of a cell apart is real, over a plain block: the variance between
/// them less that of their own estimates (empirical Bayes).
void LampTile::compare_cells() {
    float between = 0.0f, within = 0.0f;
    for_each_cell([&](std::span<Spot* const> cell) {
        const float mean = mean_share(cell);
        const float free = 1.0f - 1.0f / static_cast<float>(cell.size());
        for (const Spot* spot : cell) {
            const float off = spot->estimate.share - mean;
            between += off * off;
            within += free * spot->estimate.variance();
        }
    });
    own_share_ = between > 0.0f ? std::max(0.0f, 1.0f - within / between) : 0.0f;
}

/// Draws each pixel of a plain block towards the mean of its cell by the part that is chance. The
/// cell's mean stays.
void LampTile::blend_cells() {
    for_each_cell([&](std::span<Spot* const> cell) {
        const float mean = mean_share(cell);
        for (Spot* spot : cell)
            spot->estimate.share = mean + own_share_ * (spot->estimate.share - mean);
    });
}

/// Share of the block's light that arrives, for spots that no instant told anything.
float LampTile::usual_share() const {
    float unshadowed = 0.0f, arrived = 0.0f;
    for (const Spot& spot : spots_) {
        if (spot.estimate.blind) continue;
        unshadowed += spot.light;
        arrived += spot.light * spot.estimate.share;
    }
    return unshadowed > 0.0f ? arrived / unshadowed : 0.0f;
}

/// Calls `visit` with the spots of each pixel.
template <class Visit>
void LampTile::for_each_pixel(Visit visit) {
    for (std::size_t first = 0, end = 0; first < spots_.size(); first = end) {
        end = first;
        while (end < spots_.size() && spots_[end].lane == spots_[first].lane) ++end;
        visit(std::span(spots_).subspan(first, end - first));
    }
}

LampTile::Pixel LampTile::sum_of(std::span<const Spot> spots) {
    Pixel pixel;
    float unshadowed = 0.0f, arrived = 0.0f;
    for (const Spot& spot : spots) {
        const float light2 = spot.light * spot.light;
        unshadowed += spot.light;
        arrived += spot.light * spot.estimate.share;
        pixel.still_variance += light2 * spot.estimate.still_variance;
        pixel.edge_variance += light2 * spot.estimate.edge_variance;
    }
    pixel.bright = std::max(arrived, least_share * unshadowed);
    return pixel;
}

float LampTile::allowed_variance(const Pixel& pixel, float usual_light) const {
    const float weight = usual_light > 0.0f
                             ? std::clamp(usual_light / pixel.bright, most_strict * most_strict,
                                          most_lenient * most_lenient)
                             : 1.0f;
    const float error = effort_->shadow_error * pixel.bright;
    return error * error * weight;
}

/// Queues rays to the edges of the pixels whose expected error is over the bound.
void LampTile::narrow_doubtful(float usual_light) {
    queue_.clear();
    for_each_pixel([&](std::span<Spot> spots) {
        const Pixel pixel = sum_of(spots);
        const float allowed = allowed_variance(pixel, usual_light);
        if (left_variance() * pixel.edge_variance <= allowed) return;
        for (Spot& spot : spots) {
            const float part =
                left_variance() * spot.light * spot.light * spot.estimate.edge_variance;
            if (part * static_cast<float>(spots.size()) <= allowed) continue;
            for (int e = 0; e < spot.record.edges(); ++e)
                if (spot.record.edge(e).movable && spot.record.edge(e).width() > narrowest)
                    queue_.push_back({static_cast<std::uint16_t>(&spot - spots_.data()), -1,
                                      static_cast<std::int8_t>(e)});
        }
    });
}

/// Puts the queue in the order of instants (a counting sort): neighbours that look at the lamp
/// together make coherent packets.
void LampTile::sort_queue() {
    const auto instant_of = [&](const Ask& ask) {
        return static_cast<std::size_t>(
            ask.edge < 0 ? ask.instant : spots_[ask.spot].record.edge(ask.edge).before);
    };
    std::array<std::size_t, SightRecord::instants + 1> first{};
    for (const Ask& ask : queue_) ++first[instant_of(ask) + 1];
    for (std::size_t i = 1; i < first.size(); ++i) first[i] += first[i - 1];
    sorted_.resize(queue_.size());
    for (const Ask& ask : queue_) sorted_[first[instant_of(ask)]++] = ask;
    std::swap(queue_, sorted_);
}

/// Asks all that is queued, and estimates anew.
void LampTile::ask_all(const Job& job, std::size_t block) {
    sort_queue();
    for (std::size_t first = 0; first < queue_.size(); first += packet_size)
        answer(job, block, first,
               static_cast<int>(std::min<std::size_t>(packet_size, queue_.size() - first)));
    for (Spot& spot : spots_) {
        if (!spot.asked) continue;
        spot.asked = false;
        if (spot.record.edges_unknown()) spot.record.find_edges(job.track.moves());
        spot.estimate = spot.record.estimate();
    }
}

/// One packet of the queue.
void LampTile::answer(const Job& job, std::size_t block, std::size_t first, int count) {
    SightLines lines{};
    for (int i = 0; i < count; ++i) {
        const Ask& ask = queue_[first + static_cast<std::size_t>(i)];
        const Spot& spot = spots_[ask.spot];
        const float place =
            ask.edge < 0 ? static_cast<float>(ask.instant) : spot.record.place_of(ask.edge);
        const int number = static_cast<int>(place);
        const std::size_t sample = spot.first_sample + sample_at(number, spot.samples);
        lines.set(i, view_->blocks[block][sample], spot.lane, number);
        if (ask.edge < 0)
            clock_of(block).aim(lines, i, number);
        else
            clock_of(block).aim(lines, i, place, job.track);
    }
    const Sighted seen = sight(job.track, job.rays, lines);
    rays_asked_ += static_cast<std::uint64_t>(std::popcount(seen.asked));
    for (int i = 0; i < count; ++i) {
        const Ask& ask = queue_[first + static_cast<std::size_t>(i)];
        spots_[ask.spot].asked = true;
        SightRecord& record = spots_[ask.spot].record;
        if (ask.edge >= 0)
            record.narrow(ask.edge, has_lane(seen.lit, i));
        else
            record.add(ask.instant, seen.light_lxs[i], has_lane(seen.lit, i));
    }
}

}  // namespace lampflight
