// Points of surfaces as packets: sixteen cells at a time.
#pragma once

#include <tbb/blocked_range.h>
#include <tbb/parallel_for.h>

#include "renderer/surface_light/irradiance_cache.h"

namespace lampflight {

/// Which cells: from one up to before another.
struct CellRange {
    std::size_t first;
    std::size_t end;
};

/// The first sixteen of a range, or as many as there are.
inline SurfacePacket packet_of(const SurfacePoints& all, const CellRange& range) {
    SurfacePacket points{};
    for (int i = 0; i < packet_size; ++i) {
        const std::size_t cell = range.first + static_cast<std::size_t>(i);
        if (cell >= range.end) break;
        points.position_m.set(i, all.position_m[cell]);
        points.normal.set(i, all.normal[cell]);
        points.face_normal.set(i, all.normal[cell]);
        points.found |= 1u << i;
    }
    return points;
}

/// Calls `visit(first cell, packet)` for sixteen cells at a time, in parallel.
template <class Visit>
void for_each_packet(const SurfacePoints& all, const CellRange& cells, Visit visit) {
    const std::size_t packets = (cells.end - cells.first + packet_size - 1) / packet_size;
    tbb::parallel_for(tbb::blocked_range<std::size_t>(0, packets, 64), [&](const auto& range) {
        for (std::size_t p = range.begin(); p != range.end(); ++p)
            visit(cells.first + p * packet_size,
                  packet_of(all, {cells.first + p * packet_size, cells.end}));
    });
}

}  // namespace lampflight
