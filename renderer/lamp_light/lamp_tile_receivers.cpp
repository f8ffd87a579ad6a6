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

// The receivers of a pixel begin their lattices apart by these.
constexpr std::array<int, 8> receiver_offsets{0, 2, 4, 6, 1, 3, 5, 7};

}  // namespace

/// Instants that a receiver starts with: more where it stands for more of its pixel.
int LampTile::level_of(std::size_t block, const Receiver& receiver) const {
    const auto solved = static_cast<std::size_t>(solved_instants_);
    const std::size_t wanted = 4 * solved * receiver.samples /
                               view_->samples[block][static_cast<std::size_t>(receiver.lane)];
    return static_cast<int>(
        std::clamp(std::bit_floor(wanted), std::min<std::size_t>(4, solved), solved));
}

/// In a plain block a pixel is one receiver; elsewhere each film sample is, as one may see what the
/// next does not.
void LampTile::gather_receivers(std::size_t block, bool as_one) {
    receivers_.clear();
    const auto all = view_->blocks[block].size();
    const std::size_t together = as_one ? all : 1;
    for (int i = 0; i < packet_size; ++i)
        for (std::size_t first = 0; first < all; first += together) {
            float light = 0.0f;
            for (std::size_t j = first; j < first + together; ++j)
                light += luminance(view_->blocks[block][j].reflectance.at(i)) *
                         unshadowed_lxs_[block][j][i];
            if (light <= 0.0f) continue;
            Receiver& receiver = receivers_.emplace_back();
            receiver.lane = i;
            receiver.first_sample = first;
            receiver.samples = together;
            receiver.light = view_->sample_share(block, i) * light;
        }
}

/// Instants that a block's receivers start with. In a plain block so many that what its neighbours'
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
                      effort_->first_instants, 2 * VisibilityRecord::instants);
}

void LampTile::solve(const Job& job, std::size_t block) {
    solved_instants_ = instants_for(job, block);
    const bool begun = view_->plain[block] && solved_instants_ <= VisibilityRecord::instants;
    solved_instants_ = std::min(solved_instants_, VisibilityRecord::instants);
    gather_receivers(block, begun);
    own_share_ = 1.0f;
    queue_.clear();
    int of_lane = 0;
    for (std::size_t s = 0; s < receivers_.size(); ++s) {
        Receiver& receiver = receivers_[s];
        of_lane = s > 0 && receivers_[s - 1].lane == receiver.lane ? of_lane + 1 : 0;
        // The receivers of a pixel look at different instants.
        const int offset =
            first_offset(block, receiver.lane) +
            receiver_offsets[static_cast<std::size_t>(of_lane) % receiver_offsets.size()];
        receiver.record.start(offset);
        receiver.asked = true;
        const int step = VisibilityRecord::instants / effort_->first_instants;
        for (int m = 0; begun && m < effort_->first_instants; ++m)
            receiver.record.add(
                first_offset(block, receiver.lane) % step + step * m,
                first_[block].light[static_cast<std::size_t>(m)][receiver.lane],
                has_lane(first_[block].lit[static_cast<std::size_t>(m)], receiver.lane));
        receiver.record.refine_to(level_of(block, receiver), [&](int instant) {
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
    const float usual = usual_visibility();
    for (const Receiver& receiver : receivers_)
        for (std::size_t k = 0; k < receiver.samples; ++k)
            reflected_lxs_[tile_pixel(block, receiver.lane)] +=
                (receiver.estimate.blind ? usual : receiver.estimate.visibility) *
                unshadowed(job, block, receiver.first_sample + k, receiver.lane);
}

/// Queues a finer lattice for all pixels of the block with few film samples, and for all with many,
/// if that is what it takes.
bool LampTile::refine_together(std::size_t block, float usual_light) {
    queue_.clear();
    // By how many samples a pixel has, which what its receivers met has no say in.
    const auto kind_of = [&](const Receiver& receiver) {
        return view_->samples[block][static_cast<std::size_t>(receiver.lane)] ==
                       view_->blocks[block].size()
                   ? 1u
                   : 0u;
    };
    std::array<float, 2> error{}, allowed{};
    for_each_pixel([&](std::span<const Receiver> receivers) {
        const Pixel pixel = sum_of(receivers);
        error[kind_of(receivers.front())] += left_variance() * pixel.still_variance;
        allowed[kind_of(receivers.front())] += allowed_variance(pixel, usual_light);
    });
    for (std::size_t s = 0; s < receivers_.size(); ++s)
        if (receivers_[s].record.level() < VisibilityRecord::instants &&
            error[kind_of(receivers_[s])] > allowed[kind_of(receivers_[s])])
            receivers_[s].record.refine_to(2 * receivers_[s].record.level(), [&](int instant) {
                queue_.push_back(
                    {static_cast<std::uint16_t>(s), static_cast<std::int8_t>(instant), -1});
            });
    return !queue_.empty();
}

/// Calls `visit` with the receivers of each 2 x 2 pixels of a plain block.
template <class Visit>
void LampTile::for_each_cell(Visit visit) {
    std::array<std::array<Receiver*, 4>, 4> cells{};
    std::array<std::size_t, 4> count{};
    for (Receiver& receiver : receivers_) {
        if (receiver.estimate.blind) continue;
        const auto cell = static_cast<std::size_t>(receiver.lane / 8 * 2 + receiver.lane % 4 / 2);
        cells[cell][count[cell]++] = &receiver;
    }
    for (std::size_t c = 0; c < cells.size(); ++c)
        if (count[c] > 1) visit(std::span(cells[c].data(), count[c]));
}

float LampTile::mean_visibility(std::span<Receiver* const> cell) {
    float sum = 0.0f;
    for (const Receiver* receiver : cell) sum += receiver->estimate.visibility;
    return sum / static_cast<float>(cell.size());
}

/// How much of what sets pixels of a cell apart is real, over a plain block: the variance between
/// them less that of their own estimates (empirical Bayes).
void LampTile::compare_cells() {
    float between = 0.0f, within = 0.0f;
    for_each_cell([&](std::span<Receiver* const> cell) {
        const float mean = mean_visibility(cell);
        const float free = 1.0f - 1.0f / static_cast<float>(cell.size());
        for (const Receiver* receiver : cell) {
            const float off = receiver->estimate.visibility - mean;
            between += off * off;
            within += free * receiver->estimate.variance();
        }
    });
    own_share_ = between > 0.0f ? std::max(0.0f, 1.0f - within / between) : 0.0f;
}

/// Draws each pixel of a plain block towards the mean of its cell by the part that is chance. The
/// cell's mean stays.
void LampTile::blend_cells() {
    for_each_cell([&](std::span<Receiver* const> cell) {
        const float mean = mean_visibility(cell);
        for (Receiver* receiver : cell)
            receiver->estimate.visibility =
                mean + own_share_ * (receiver->estimate.visibility - mean);
    });
}

/// Share of the block's light that arrives, for receivers that no instant told anything.
float LampTile::usual_visibility() const {
    float unshadowed = 0.0f, arrived = 0.0f;
    for (const Receiver& receiver : receivers_) {
        if (receiver.estimate.blind) continue;
        unshadowed += receiver.light;
        arrived += receiver.light * receiver.estimate.visibility;
    }
    return unshadowed > 0.0f ? arrived / unshadowed : 0.0f;
}

/// Calls `visit` with the receivers of each pixel.
template <class Visit>
void LampTile::for_each_pixel(Visit visit) {
    for (std::size_t first = 0, end = 0; first < receivers_.size(); first = end) {
        end = first;
        while (end < receivers_.size() && receivers_[end].lane == receivers_[first].lane) ++end;
        visit(std::span(receivers_).subspan(first, end - first));
    }
}

LampTile::Pixel LampTile::sum_of(std::span<const Receiver> receivers) {
    Pixel pixel;
    float unshadowed = 0.0f, arrived = 0.0f;
    for (const Receiver& receiver : receivers) {
        const float light2 = receiver.light * receiver.light;
        unshadowed += receiver.light;
        arrived += receiver.light * receiver.estimate.visibility;
        pixel.still_variance += light2 * receiver.estimate.still_variance;
        pixel.edge_variance += light2 * receiver.estimate.edge_variance;
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
    for_each_pixel([&](std::span<Receiver> receivers) {
        const Pixel pixel = sum_of(receivers);
        const float allowed = allowed_variance(pixel, usual_light);
        if (left_variance() * pixel.edge_variance <= allowed) return;
        for (Receiver& receiver : receivers) {
            const float part =
                left_variance() * receiver.light * receiver.light * receiver.estimate.edge_variance;
            if (part * static_cast<float>(receivers.size()) <= allowed) continue;
            for (int e = 0; e < receiver.record.edges(); ++e)
                if (receiver.record.edge(e).movable && receiver.record.edge(e).width() > narrowest)
                    queue_.push_back({static_cast<std::uint16_t>(&receiver - receivers_.data()), -1,
                                      static_cast<std::int8_t>(e)});
        }
    });
}

/// Puts the queue in the order of instants (a counting sort): neighbours that look at the lamp
/// together make coherent packets.
void LampTile::sort_queue() {
    const auto instant_of = [&](const Ask& ask) {
        return static_cast<std::size_t>(
            ask.edge < 0 ? ask.instant : receivers_[ask.receiver].record.edge(ask.edge).before);
    };
    std::array<std::size_t, VisibilityRecord::instants + 1> first{};
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
    for (Receiver& receiver : receivers_) {
        if (!receiver.asked) continue;
        receiver.asked = false;
        if (receiver.record.edges_unknown()) receiver.record.find_edges(job.track.moves());
        receiver.estimate = receiver.record.estimate();
    }
}

/// One packet of the queue.
void LampTile::answer(const Job& job, std::size_t block, std::size_t first, int count) {
    ShadowRays lines{};
    for (int i = 0; i < count; ++i) {
        const Ask& ask = queue_[first + static_cast<std::size_t>(i)];
        const Receiver& receiver = receivers_[ask.receiver];
        const float place =
            ask.edge < 0 ? static_cast<float>(ask.instant) : receiver.record.place_of(ask.edge);
        const int number = static_cast<int>(place);
        const std::size_t sample = receiver.first_sample + sample_at(number, receiver.samples);
        lines.set(i, view_->blocks[block][sample], receiver.lane, number);
        if (ask.edge < 0)
            clock_of(block, sample, receiver.lane).aim(lines, i, number);
        else
            clock_of(block, sample, receiver.lane).aim(lines, i, place, job.track);
    }
    const ShadowTest seen = shadow_test(job.track, job.rays, lines);
    rays_asked_ += static_cast<std::uint64_t>(std::popcount(seen.asked));
    for (int i = 0; i < count; ++i) {
        const Ask& ask = queue_[first + static_cast<std::size_t>(i)];
        receivers_[ask.receiver].asked = true;
        VisibilityRecord& record = receivers_[ask.receiver].record;
        if (ask.edge >= 0)
            record.narrow(ask.edge, has_lane(seen.lit, i));
        else
            record.add(ask.instant, seen.light_lxs[i], has_lane(seen.lit, i));
    }
}

}  // namespace lampflight
