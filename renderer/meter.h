// The meter: exposure at named points, shares of burnt and black film, and the trail's brightness.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "renderer/render.h"

namespace lampflight {

struct PointReading {
    std::string name;
    bool in_frame;
    bool hidden;                          ///< something stands before it
    double exposure_lxs;                  ///< luminance-weighted; of the take that is brightest there
    double stops;                         ///< from mid-grey; -infinity for none
    std::string take;                     ///< the one that the reading comes from
    std::map<std::string, double> layers; ///< lux seconds that reach this place by layer of that
                                          ///< take; "glow" is what the lens lays here from farther than a few
                                          ///< pixels
};

struct TrailReading {
    double peak_lxs;
    double stops_over_saturation;
    double width_px;  ///< of the film above half of the peak, across the trail at its brightest
};

struct MeterReading {
    std::vector<PointReading> points;
    double burnt_share;  ///< of the photograph where green, most of luminance, is full
    double black_share;  ///< of the photograph more than 6 stops under mid-grey
    std::map<std::string, TrailReading> trail;  ///< by lamp, brightest take
};

/// Reads exposed takes of the shoot. `takes` must come from `expose` of the same shoot.
MeterReading meter(const Shoot& shoot, const std::vector<ExposedTake>& takes);

}  // namespace lampflight
