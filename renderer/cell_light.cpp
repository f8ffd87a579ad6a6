#include "renderer/cell_light.h"

#include <tbb/blocked_range.h>
#include <tbb/parallel_for.h>

#include "renderer/gather.h"
#include "renderer/low_discrepancy.h"
#include "renderer/shutter_integral.h"

namespace lampflight {
namespace {

SurfacePacket cell_points(const LightCells& cells, std::size_t first) {
    SurfacePacket points{};
    for (int i = 0; i < packet_size; ++i) {
        const std::size_t cell = first + static_cast<std::size_t>(i);
        if (cell >= cells.position_m.size()) break;
        points.position_m.set(i, cells.position_m[cell]);
        points.normal.set(i, cells.normal[cell]);
        points.face_normal.set(i, cells.normal[cell]);
        points.found |= 1u << i;
    }
    return points;
}

/// Calls `visit(first cell, packet)` for all cells, sixteen at a time, in parallel.
template <class Visit>
void for_each_packet(const LightCells& cells, Visit visit) {
    const std::size_t packets = (cells.position_m.size() + packet_size - 1) / packet_size;
    tbb::parallel_for(tbb::blocked_range<std::size_t>(0, packets, 64), [&](const auto& range) {
        for (std::size_t p = range.begin(); p != range.end(); ++p)
            visit(p * packet_size, cell_points(cells, p * packet_size));
    });
}

CellLight sum_of(const CellLight& a, const CellLight& b) {
    CellLight sum = a;
    for (std::size_t c = 0; c < sum.size(); ++c) sum[c] += b[c];
    return sum;
}

/// One gathering in every cell from the light of the round before.
BouncedLight one_round(const Stage& stage, const LightCells& cells, const Sky& sky,
                       const BouncedLight* before, int directions) {
    const CellLight dark(cells.position_m.size(), glm::vec3(0.0f));
    BouncedLight round{dark, {}};
    if (before != nullptr) round.lamps_lxs.assign(before->lamps_lxs.size(), dark);
    for_each_packet(cells, [&](std::size_t first, const SurfacePacket& points) {
        Gathered gathered;
        gather(stage, sky, points, cells, before, {directions, 0, static_cast<std::uint32_t>(first)},
               gathered);
        for (std::size_t i = 0; i < packet_size && first + i < dark.size(); ++i) {
            round.sky_lx[first + i] = gathered.sky_lx[i];
            for (std::size_t k = 0; k < round.lamps_lxs.size(); ++k)
                round.lamps_lxs[k][first + i] = gathered.lamps_lxs[k][i];
        }
    });
    return round;
}

}  // namespace

CellLight lamp_in_cells(const Stage& stage, const LightCells& cells, const LampTrack& track,
                        int strata) {
    CellLight light(cells.position_m.size(), glm::vec3(0.0f));
    for_each_packet(cells, [&](std::size_t first, const SurfacePacket& points) {
        const TimeStrata edges_s = choose_strata(track, std::span(&points, 1), strata);
        const float shift = hashed_place(static_cast<std::uint32_t>(first), 3);
        const Lanes exposure_lxs =
            arrived_light(track, stage.rays(), points, edges_s, {.shift = shift}).arrived_lxs;
        for (std::size_t i = 0; i < packet_size && first + i < light.size(); ++i)
            light[first + i] = exposure_lxs.lane[i] * track.colour();
    });
    return light;
}

BouncedLight bounce_in_cells(const Stage& stage, const LightCells& cells, const Sky& sky,
                             const std::vector<CellLight>& lamps_lxs, int bounces,
                             int directions) {
    BouncedLight total = one_round(stage, cells, sky, nullptr, directions);
    total.lamps_lxs = lamps_lxs;
    for (int bounce = 1; bounce < bounces; ++bounce) {
        // Each round gathers all that was found before; the sky's own light comes with the rays,
        // a lamp's direct light is added back.
        BouncedLight round = one_round(stage, cells, sky, &total, directions);
        total.sky_lx = std::move(round.sky_lx);
        for (std::size_t k = 0; k < lamps_lxs.size(); ++k)
            total.lamps_lxs[k] = sum_of(lamps_lxs[k], round.lamps_lxs[k]);
    }
    return total;
}

}  // namespace lampflight
