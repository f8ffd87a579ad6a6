// From a shoot to exposed film: for every take, layers of focal-plane exposure in lux seconds.
#pragma once

#include <functional>
#include <optional>
#include <stop_token>
#include <string>
#include <vector>

#include "renderer/film/layer.h"
#include "scene/shoot/shoot.h"

namespace lampflight {

/// One computation at three error bounds.
enum class Quality { draft, good, fine };

struct RenderSettings {
    Quality quality = Quality::good;
    int bounces = 1;  ///< diffuse bounces after the first surface
};

/// How a caller follows a render and may end it. Both may be left empty.
struct Watch {
    std::function<void(double done_share)> progress;  ///< called from any thread, rising
    std::stop_token stop;
};

/// The film of one take before development.
struct ExposedTake {
    std::string name;
    ExposureSettings settings;
    glm::ivec2 pixels;
    std::vector<Layer> layers;
};

/// Exposes the takes of the photograph, or only those named, in that order. Empty when stopped.
/// The result depends on neither the number of threads nor earlier calls.
std::optional<std::vector<ExposedTake>> expose(const Shoot& shoot, const RenderSettings& settings,
                                               const Watch& watch = {},
                                               const std::vector<std::string>& only_takes = {});

/// Sum of a take's layers as the camera's lens spreads it, in lux seconds.
Image film_lxs(const Camera& camera, const ExposedTake& take);

/// Whether a picture has the sensor's noise in it.
enum class Noise { left_out, counted };

/// The takes blended and balanced: linear Rec. 709 relative to mid-grey = 1, white-balanced, not
/// yet toned. Every take is clipped at saturation before, where trails run in the parts of a
/// pixel before their mean. Components may lie below 0, by noise or as colours outside Rec. 709.
/// Noise is a fixed function of the photograph's seed, the take's name and the place.
Image photograph(const Shoot& shoot, const std::vector<ExposedTake>& takes,
                 Noise noise = Noise::left_out);

}  // namespace lampflight
