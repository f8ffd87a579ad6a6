// What a command takes of memory at its peak, and about how long, told from the scene before any
// work. Each part is what some stretch of the work holds; none of them is meant to be less than the
// truth.
#pragma once

#include <algorithm>
#include <string>
#include <vector>

#include "renderer/expose/expose.h"

namespace lampflight {

/// What becomes of the photograph, in bytes a pixel.
struct PictureBytes {
    double developing;  ///< held while takes are developed
    double writing;     ///< held once they are
};

/// Bytes, part by part.
struct MemoryNeed {
    double reading = 0.0;   ///< while the scene's meshes are read
    double held = 0.0;      ///< by the program with the scene read
    double geometry = 0.0;  ///< the ground, and the tree that rays walk
    double bounces = 0.0;   ///< cells of the irradiance cache, lamps in them
    double films = 0.0;     ///< of surfaces and sky, at the pass that has most
    double defocus = 0.0;   ///< beside them while they are blurred
    double kept = 0.0;      ///< films that are left when all is exposed
    double trails = 0.0;
    double trail_growth = 0.0;  ///< while the largest grows, and again as a take's are added up
    double threads = 0.0;       ///< room of theirs for tiles, and for strips
    double development = 0.0;   ///< light that the lens spreads far, its kernels
    double picture = 0.0;       ///< while developed
    double file = 0.0;          ///< the picture as the bytes of a file

    double exposing() const {
        return held + geometry + bounces + films + std::max(defocus, trail_growth) + trails +
               threads;
    }
    double developing() const {
        return held + kept + trails + trail_growth + threads +
               std::max(development + picture, file);
    }
    double peak() const { return std::max({reading, exposing(), developing()}); }
};

/// What the machine brings along.
struct Workshop {
    double held_bytes;  ///< resident with the scene read
    int threads;
};

/// What a program holds with this scene read; the same from run to run, as resident memory is not.
double held_bytes(const PlacedShoot& shoot);

/// Of the takes of the photograph or only those named, at the camera's pixels.
MemoryNeed memory_need(const PlacedShoot& shoot, const RenderSettings& settings,
                       const std::vector<std::string>& only_takes, const PictureBytes& picture,
                       const Workshop& workshop);

/// Of takes whose films are there already, one each, as a file of layers gives them.
/// `trail_pixels` are those that the trails of each take reach.
MemoryNeed memory_to_develop(const Shoot& shoot, const std::vector<double>& f_numbers,
                             const std::vector<double>& trail_pixels, const PictureBytes& picture,
                             const Workshop& workshop);

/// Of the skies of an evening, without a picture.
MemoryNeed memory_for_dusk(const Workshop& workshop);

/// Seconds, to a factor of about three.
double seconds_needed(const PlacedShoot& shoot, const RenderSettings& settings,
                      const std::vector<std::string>& only_takes, int threads);

}  // namespace lampflight
