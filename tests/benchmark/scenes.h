// What the benchmark lights: scenes built in code, and the demo scenes as they lie in scenes/.
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "renderer/geometry/geometry.h"
#include "scene/shoot/lit_lamp.h"

namespace lampflight::bench {

/// One lamp that flies over one scene.
struct LampFlight {
    std::string name;  ///< "open_circle"; "ruin-sweep/left sweep"
    PlacedShoot shoot;
    std::string take;
    bool own_ground = false;  ///< the subjects are all there is: no ground comes with the geometry
    /// Subjects whose shadows are judged by themselves: poles and leaves.
    std::vector<std::string> fine_subjects;
};

/// open_circle, thicket_circle, open_close, thicket_close.
std::vector<std::string> built_flights();

/// Every take with a moving lamp of the demo scenes: "file stem/take".
std::vector<std::string> demo_flights();

/// Builds or reads one of the above. Throws std::runtime_error when a demo scene can't be read.
LampFlight lamp_flight(const std::string& name);

/// Bare ground of so many cells a side with a few boxes, under the circling lamp.
LampFlight ground_of(int cells);

/// The open scene under so many lamps at once, evenly spread over the circle.
LampFlight swarm_of(int lamps);

/// The geometry of a flight; `without_fine` leaves out its fine subjects. It refers to the flight.
std::unique_ptr<Geometry> geometry_of(const LampFlight& flight, bool without_fine = false);

/// The moving lamps of the flight's take.
std::vector<LitLamp> flying_lamps(const LampFlight& flight);

std::size_t triangles_of(const Geometry& geometry);

}  // namespace lampflight::bench
