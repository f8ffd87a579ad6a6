// How flights sit in the frame: share of the trail's time inside it, and the box it takes up.
#pragma once

#include <optional>

#include "scene/camera/camera.h"
#include "scene/flights/flight_path.h"

namespace lampflight {

struct FrameBox {
    double left, top, right, bottom;  ///< shares of the frame, 0 to 1 inside it
};

struct Framing {
    double in_frame;              ///< share of the flown time whose image lies within the frame
    std::optional<FrameBox> box;  ///< of all that lies before the lens; nothing if all is behind it
};

/// Of a flight while the shutter is open.
Framing frame_flight(const Camera& camera, const FlightPath& path, double shutter_s);

/// Degrees flown past (plus) or short of (minus) a closed figure while the shutter is open: 0 for a
/// shape that does not close; for others, the turns flown less the nearest whole number of them, at
/// least one. 350 degrees give -10 (a gap), 380 give +20 (an arc drawn twice), three whole turns
/// give 0. Past the first turn a minus is no gap: the figure is whole and an arc of it is drawn
/// once less.
double closure_deg(const Flight& flight, const FlightPath& path, double shutter_s);

}  // namespace lampflight
