// How near a flight of the plan comes to what stands there, and where.
#pragma once

#include "cli/sheets/plan_facts.h"
#include "scene/flights/flight_path.h"

namespace lampflight {

/// To a mesh's surface; what hangs below the drone counts. Beyond `plan_exact_m` the distance to
/// the mesh's box, which is no more.
PlanNearest nearest_to(const FlightPath& path, const std::vector<Vec3>& way_m, const Mesh& mesh,
                       const std::string& name, double hanging_m);
constexpr double plan_exact_m = 40.0;

/// To the camera with whoever stands beside it.
PlanNearest nearest_to_camera(const std::vector<Vec3>& way_m, const Vec3& lens_m, double hanging_m);

/// Of two flights at the same moment; nothing where they are not flown together.
std::optional<PlanNearest> nearest_together(const FlightPath& one, const FlightPath& other,
                                            const std::string& names);

}  // namespace lampflight
