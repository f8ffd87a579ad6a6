// What a picture file says of itself: title, program, and the settings it was made with.
#pragma once

#include <string>

#include "cli/session/expose_scene.h"
#include "renderer/develop/sensor_noise.h"

namespace lampflight {

/// UTF-8 without control characters other than the newlines between the lines of the settings.
struct PictureNotes {
    std::string title;  ///< may be empty
    std::string software;
    std::string settings;  ///< camera, lamps, takes, blend, quality, noise, changes made
};

/// Place and hour are left out, changes to them as well: a picture that is passed on should not
/// tell where the shoot is.
PictureNotes picture_notes(const Shoot& shoot, const ExposeOptions& options, Noise noise);

}  // namespace lampflight
