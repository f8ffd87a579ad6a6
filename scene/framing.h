// How flights sit in the frame: share of the trail's time inside it, and the box it takes up.
#pragma once

#include "scene/shoot.h"

namespace lampflight {

struct FrameBox {
    double left, top, right, bottom;  ///< shares of the frame, 0 to 1 inside it
};

struct Framing {
    double in_frame;  ///< share of the flown time whose image lies within the frame
    std::optional<FrameBox> box;  ///< of all that lies before the lens; nothing if all is behind it
};

/// Of a flight while the shutter is open.
Framing frame_flight(const Camera& camera, const FlightPath& path, double shutter_s);

/// Degrees flown past (plus) or short of (minus) one closed turn while the shutter is open.
double closure_deg(const Flight& flight, const FlightPath& path, double shutter_s);

}  // namespace lampflight
