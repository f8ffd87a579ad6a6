// What the lamp layer is asked to do, beside what it was measured to do.
#pragma once

namespace lampflight::bench {

/// One line for each target of which the films were run; nothing where none was.
void print_targets();

}  // namespace lampflight::bench
