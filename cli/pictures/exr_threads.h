// OpenEXR works with as many threads as the rest of the program may use.
#pragma once

namespace lampflight {

void set_exr_threads();

}  // namespace lampflight
