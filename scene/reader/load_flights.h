// Flights get their waypoints, from files of paths and figures or from the scene itself, and the
// limits of the drones that fly them.
#pragma once

#include <filesystem>

#include "scene/basics/problem.h"
#include "scene/reader/read_tables.h"

namespace lampflight {

/// Fills in `Flight::path`, a face that looks at the camera, and limits that only the drone states.
/// Files are sought in `beside`, or taken from `given`; their texts are kept in the shoot. What can't
/// be read is a problem at its key.
std::vector<Problem> load_flights(Reading& reading, const std::filesystem::path& beside,
                                  const PathFiles* given);

}  // namespace lampflight
