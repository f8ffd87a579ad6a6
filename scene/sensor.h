// The sensor: what counts light. The defaults are those of a generic full-frame sensor of today
// (common practice, no source).
#pragma once

namespace lampflight {

struct Sensor {
    double quantum_efficiency = 0.5;  ///< electrons for a photon of 400 to 700 nm, filters included
    double full_well_e = 60000.0;     ///< electrons that a pixel holds
    double read_noise_e = 3.0;        ///< root mean square, for each pixel
    double dark_current_e_s = 0.02;   ///< electrons a pixel gathers in the dark, in a second
};

}  // namespace lampflight
