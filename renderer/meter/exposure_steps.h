// A photograph by its exposure: the steps in stops from mid-grey in which it is counted and shown.
#pragma once

#include <span>
#include <vector>

#include "renderer/film/image.h"

namespace lampflight {

/// Light that is white on the screen, relative to mid-grey: a thousandth under saturation, so that
/// rounding keeps nothing out.
double white_over_mid_grey();

/// Stops under which the photograph counts as black.
constexpr double black_stops = -6.0;

/// Where one step ends and the next begins, rising: every whole stop from -10 to +2, then white.
/// What lies outside makes a first and a last step of its own.
std::span<const double> step_edges_stops();

/// The step that a pixel's light falls into: 0 to as many as there are edges. 0 for no light.
std::size_t step_of(double over_mid_grey);

/// Luminance of a pixel of a photograph, relative to mid-grey.
double picture_luminance(const glm::vec3& pixel);

/// Share of the picture in each step; the sum is 1.
std::vector<double> shares_by_step(const Image& over_mid_grey);

}  // namespace lampflight
