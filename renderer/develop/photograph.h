// Takes become one picture, some rows at a time, so that nothing as large as the frame need be
// kept.
#pragma once

#include <functional>
#include <vector>

#include "renderer/develop/sensor_noise.h"
#include "renderer/film/film_rows.h"
#include "scene/shoot/shoot.h"

namespace lampflight {

/// Takes some rows of a picture, of which `rows`' first is the picture's `first`. Called from
/// several threads, each row once.
using KeepRows = std::function<void(int first, const Image& rows)>;

/// The takes blended and balanced: linear Rec. 709 relative to mid-grey = 1, white-balanced, not
/// yet toned. Every take is clipped at saturation before, where trails run in the parts of a
/// pixel before their mean. Components may lie below 0, by noise or as colours outside Rec. 709.
/// Noise is a fixed function of the photograph's seed, the go at it, the take's name and the place.
void photograph(const Shoot& shoot, const std::vector<ExposedTake>& takes, Noise noise,
                const KeepRows& keep);

/// The whole picture.
Image photograph(const Shoot& shoot, const std::vector<ExposedTake>& takes,
                 Noise noise = Noise::left_out);

/// Sum of a take's layers as the camera's lens spreads it, in lux seconds.
Image film_lxs(const Camera& camera, const ExposedTake& take);

}  // namespace lampflight
