// The truth: very many fixed times. Slow, so kept in a file beside the program.
#pragma once

#include <string>
#include <vector>

#include "tests/benchmark/lamp_layer.h"

namespace lampflight::bench {

struct Truth {
    std::vector<float> grey;  ///< see grey_pixels
    /// Error of the truth itself: two halves at other times, half their difference, relative rms.
    double own_error = 0.0;
};

/// Reads the truth from its file or works it out and keeps it there. `name` stands for the scene;
/// the surface points and the meshes are told apart by themselves. `times`: fixed times a pixel,
/// shared out to its film samples.
Truth truth_of(const std::string& name, const SeenFilm& film, const LampTrack& track,
               const Geometry& geometry, int times);

}  // namespace lampflight::bench
