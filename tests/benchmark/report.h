// The readable tables at the end of a run.
#pragma once

namespace lampflight::bench {

/// Prints whatever `results()` holds.
void print_report();

}  // namespace lampflight::bench
