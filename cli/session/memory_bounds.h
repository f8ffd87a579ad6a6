// Whether the memory that a command needs is there, before it begins.
#pragma once

#include <optional>
#include <string>

#include "cli/session/expected.h"
#include "cli/session/expose_scene.h"
#include "renderer/expose/memory_need.h"

namespace lampflight {

/// What the program holds now, with a scene read, and the threads that it may work with.
Workshop workshop_now();

/// "0.41 GB": three digits from 1 GB on.
std::string gigabytes_text(double bytes);

/// "seconds", "about 40 s", "about 3 min", "about 2 h": an order of magnitude.
std::string about_seconds_text(double seconds);

/// 1 where that is more than the machine has, or than what was asked for: what is needed, what is
/// there, and what to change. `work` begins the sentence, as in "this render".
Expected<Done> check_memory(const MemoryNeed& need, const std::optional<double>& memory_gb,
                            const std::string& work, const std::string& remedy);

/// The same for a shoot at the picture's size.
Expected<Done> check_memory(const PlacedShoot& shoot, const ExposeOptions& options);

/// What a render takes with the options that are usual.
struct RenderNeed {
    Quality quality;
    glm::ivec2 pixels;
    double memory_bytes;
    double seconds;
};

/// 1 as `check_memory`. The shoot's camera is at the sensor's own size; `picture` is the usual
/// kind.
Expected<RenderNeed> usual_render(PlacedShoot& shoot, const std::optional<double>& memory_gb,
                                  const PictureBytes& picture);

}  // namespace lampflight
