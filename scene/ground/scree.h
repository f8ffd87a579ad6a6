// Scree: angular stones strewn over rough ground, as meshes that cast shadows of their own.
#pragma once

#include <cstddef>
#include <optional>

#include "scene/ground/ground.h"

namespace lampflight {

/// No more triangles than this are added, whatever the ground.
constexpr std::size_t most_scree_triangles = 150000;

/// Stones lie no further than this from the middle.
constexpr double scree_reach_m = 35.0;

/// Adds stones to the mesh of rough ground, with materials near the ground's own: many of a few
/// centimetres, few of up to 40 cm, in patches, half bedded at `ground_height_m`. A place has the
/// same stones wherever the middle is, as far as they reach; they thin out from about 14 m off.
/// Seeded by `ground.seed`. None lie where someone stands. On flat ground, or where `roughness_m`
/// is 0, nothing is added. With a view, stones stay out where it can show neither them nor their
/// shadows.
void add_scree(Mesh& mesh, const Terrain& terrain,
               const std::optional<ViewFrustum>& view = std::nullopt);

}  // namespace lampflight
