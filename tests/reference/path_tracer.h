// A plain path tracer: what a standing lamp leaves on film after every bounce, without any cache or
// smoothing, to a standard error that it tells. It shares with the renderer only the ray query and
// the surfaces found; beam, inverse square, cosines and directions are worked out here, in double
// precision. Paths start at both ends: a light subpath from the lamp by its beam, an eye subpath
// from the lens by the cosine; each vertex of the one is joined with each of the other, and all
// ways to draw the same path are weighed as one set (the balance heuristic, Veach & Guibas 1995),
// so that neither slits nor places close to lit surfaces bring rare spikes.
#pragma once

#include <array>
#include <string>
#include <vector>

#include "renderer/geometry/geometry.h"
#include "scene/shoot/shoot.h"

namespace lampflight {

constexpr int film_block_side = 8;
constexpr std::size_t film_block_pixels = 64;
constexpr int path_batch = 256;  ///< paths of a batch, as many in each pixel

/// One square of 8 x 8 pixels, luminance-weighted, in lux seconds. Errors are standard errors, from
/// batches of points with shifts of their own.
struct TracedBlock {
    double direct_lxs = 0.0;   ///< mean of the lamp's direct light
    double bounced_lxs = 0.0;  ///< mean of all else
    double bounced_error_lxs = 0.0;
    double total_error_lxs = 0.0;
    /// Both together, rows from the top; each has a 64th of the block's paths.
    std::array<double, film_block_pixels> pixel_lxs{};

    double total_lxs() const { return direct_lxs + bounced_lxs; }
};

struct PathTracing {
    int bounces = 1;
    double wanted_error = 0.01;  ///< standard error over mean, of what is bounced
    int first_batches = 16;  ///< only tell how many are needed, and are not kept; 0: do the most
    int most_batches = 1024;
};

/// Squares of film with these corners, by a lamp that stands. The result depends on a square's
/// corner and the settings alone. Throws std::invalid_argument for a lamp that is carried or
/// unknown.
std::vector<TracedBlock> traced_blocks(const PlacedShoot& shoot, const Take& take,
                                       const std::string& lamp, const Geometry& geometry,
                                       const std::vector<glm::ivec2>& corners_px,
                                       const PathTracing& settings);

}  // namespace lampflight
