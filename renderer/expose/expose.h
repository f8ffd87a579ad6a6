// From a shoot to exposed film: for every take, layers of focal-plane exposure in lux seconds.
#pragma once

#include <functional>
#include <optional>
#include <stop_token>
#include <string>
#include <vector>

#include "renderer/film/exposed_take.h"
#include "renderer/sampling/quality.h"
#include "scene/shoot/placed_shoot.h"

namespace lampflight {

struct RenderSettings {
    Quality quality = Quality::good;
    int bounces = 1;  ///< diffuse bounces after the first surface
};

/// How a caller follows a render and may end it. Both may be left empty.
struct Watch {
    std::function<void(double done_share)> progress;  ///< called from any thread, rising
    std::stop_token stop;
};

/// The takes of the photograph, or only those named, in that order.
std::vector<const Take*> wanted_takes(const Shoot& shoot, const std::vector<std::string>& only);

/// Into how many parts across a pixel of the picture is cut where a trail runs: the sensor's own
/// pixels, as far as that shows.
int trail_side(const Camera& camera);

/// Exposes the takes of the photograph, or only those named, in that order. Empty when stopped.
/// The result depends on neither the number of threads nor earlier calls.
std::optional<std::vector<ExposedTake>> expose(const PlacedShoot& shoot,
                                               const RenderSettings& settings,
                                               const Watch& watch = {},
                                               const std::vector<std::string>& only_takes = {});

}  // namespace lampflight
