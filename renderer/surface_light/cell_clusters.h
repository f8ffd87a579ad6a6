// Light clusters: cells of the irradiance cache that send back much light, gathered so that those
// of one cluster lie together and face alike.
#pragma once

#include <cstdint>
#include <limits>
#include <vector>

#include "renderer/surface_light/irradiance_cache.h"

namespace lampflight {

struct CellClusters {
    static constexpr std::uint16_t none = std::numeric_limits<std::uint16_t>::max();

    std::vector<std::uint16_t> of_cell;  ///< `none` for a cell without power
    std::vector<std::uint32_t> mesh;     ///< by cluster
};

/// Up to `most` clusters. Of those so far the one with the largest power times diagonal is halved,
/// over and over. Their numbers follow the halving: neighbours in number are neighbours in space.
CellClusters cluster_cells(const IrradianceCache& cells, const std::vector<float>& power,
                           std::size_t most);

}  // namespace lampflight
