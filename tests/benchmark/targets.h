// What the lamp layer and the sky are asked to do, beside what they were measured to do.
#pragma once

namespace lampflight::bench {

/// One line for each target of which the films were run; nothing where none was.
void print_targets();

/// The same for lens and sensor.
void print_development_targets();

/// The same for the sky over a place.
void print_sky_targets();

}  // namespace lampflight::bench
