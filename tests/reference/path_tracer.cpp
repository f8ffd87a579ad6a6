#include "tests/reference/path_tracer.h"

#include <tbb/parallel_for.h>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <random>
#include <stdexcept>

#include "scene/shoot/lit_lamp.h"
#include "tests/reference/path_packets.h"

namespace lampflight {
namespace {

constexpr std::size_t block_packets = film_block_pixels / packet_size;
constexpr std::size_t batch_packets = path_batch / packet_size;
static_assert(batch_packets % block_packets == 0);

/// Mean and standard error of what batches found.
struct BatchMean {
    std::vector<double> batches;

    double mean() const {
        return std::accumulate(batches.begin(), batches.end(), 0.0) /
               static_cast<double>(batches.size());
    }
    double error() const {
        double squares = 0.0;
        for (const double batch : batches) squares += std::pow(batch - mean(), 2);
        const auto count = static_cast<double>(batches.size());
        return std::sqrt(squares / count / std::max(1.0, count - 1.0));
    }
};

/// One set of points, spread over the pixels of a block.
PacketLight trace_batch(const PathPackets& packets, const glm::ivec2& corner_px,
                        const ShiftedPoints& points,
                        std::array<double, film_block_pixels>& pixel_sums) {
    PacketLight sum;
    for (std::size_t p = 0; p < batch_packets; ++p) {
        const std::size_t part = p % block_packets;
        constexpr int rows = packet_size / film_block_side;
        const PacketLight light = packets.trace(
            corner_px + glm::ivec2(0, static_cast<int>(part) * rows), points, p * packet_size);
        for (std::size_t i = 0; i < packet_size; ++i) {
            sum.direct[i] += light.direct[i];
            sum.bounced[i] += light.bounced[i];
            pixel_sums[part * packet_size + i] += light.direct[i] + light.bounced[i];
        }
    }
    return sum;
}

TracedBlock trace_batches(const PathPackets& packets, const glm::ivec2& corner_px, int count,
                          std::mt19937_64& random) {
    TracedBlock block;
    BatchMean bounced, total;
    const auto mean_of = [](const std::array<double, packet_size>& sums) {
        return std::accumulate(sums.begin(), sums.end(), 0.0) / path_batch;
    };
    for (int batch = 0; batch < count; ++batch) {
        const PacketLight sum = trace_batch(
            packets, corner_px, ShiftedPoints(packets.dimensions(), random), block.pixel_lxs);
        bounced.batches.push_back(mean_of(sum.bounced));
        total.batches.push_back(mean_of(sum.bounced) + mean_of(sum.direct));
    }
    for (double& pixel : block.pixel_lxs)
        pixel /= static_cast<double>(count) * path_batch / film_block_pixels;
    block.bounced_lxs = bounced.mean();
    block.direct_lxs = total.mean() - bounced.mean();
    block.bounced_error_lxs = bounced.error();
    block.total_error_lxs = total.error();
    return block;
}

/// The first batches only tell how many there are to be: to stop when chance has it would favour
/// batches that missed what is rare.
TracedBlock traced_block(const PathPackets& packets, const glm::ivec2& corner_px,
                         const PathTracing& settings) {
    std::mt19937_64 random(static_cast<std::uint64_t>(corner_px.y) << 32 |
                           static_cast<std::uint64_t>(corner_px.x));
    if (settings.first_batches == 0)
        return trace_batches(packets, corner_px, settings.most_batches, random);
    const TracedBlock first = trace_batches(packets, corner_px, settings.first_batches, random);
    const double wanted_lxs = settings.wanted_error * std::max(first.bounced_lxs, 1e-300);
    const double batches =
        std::ceil(settings.first_batches * std::pow(first.bounced_error_lxs / wanted_lxs, 2));
    return trace_batches(packets, corner_px,
                         static_cast<int>(std::clamp<double>(batches, settings.first_batches,
                                                             settings.most_batches)),
                         random);
}

}  // namespace

std::vector<TracedBlock> traced_blocks(const PlacedShoot& shoot, const Take& take,
                                       const std::string& lamp, const Geometry& geometry,
                                       const std::vector<glm::ivec2>& corners_px,
                                       const PathTracing& settings) {
    const std::vector<LitLamp> lamps = lit_lamps(shoot, take);
    const auto lit =
        std::ranges::find(lamps, lamp, [](const LitLamp& each) { return each.lamp->name; });
    if (lit == lamps.end() || lit->flies())
        throw std::invalid_argument("paths need a lamp that stands: " + lamp);
    if (settings.bounces < 1 || settings.bounces > static_cast<int>(most_bounces_of_path))
        throw std::invalid_argument("paths have 1 to 3 bounces");
    const PathPackets packets(shoot, take, *lit, geometry,
                              static_cast<std::size_t>(settings.bounces));
    std::vector<TracedBlock> blocks(corners_px.size());
    tbb::parallel_for(std::size_t{0}, blocks.size(), [&](std::size_t i) {
        blocks[i] = traced_block(packets, corners_px[i], settings);
    });
    return blocks;
}

}  // namespace lampflight
