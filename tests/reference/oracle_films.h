// Films against the oracle's, lamp by lamp: the checks that tests of all lengths share.
#pragma once

#include <string>

#include "renderer/sampling/quality.h"
#include "scene/shoot/placed_shoot.h"

namespace lampflight {

/// Checks the films of every take and lamp, without bounces, against the oracle's of so many
/// instants a film sample. Where they differ too much, result, truth and difference are left in
/// the build folder.
void check_films(const std::string& name, const PlacedShoot& shoot, Quality quality,
                 const std::string& quality_name, int instants);

/// The same for a demo scene at 240 x 160.
void check_demo(const std::string& name, Quality quality, const std::string& quality_name,
                int instants = 512);

}  // namespace lampflight
