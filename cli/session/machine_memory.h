// How much memory a command may take on this machine.
#pragma once

namespace lampflight {

/// All that there is, in bytes, or what the system's control groups leave of it (cgroup v1 and v2)
/// where that is less. Not what is free at the moment: other programs come and go, and what `check`
/// accepts must not be refused a minute later. Without bounds where the system tells nothing.
double machine_memory_bytes();

/// What the program holds of it now; 0 where the system tells nothing.
double memory_in_use_bytes();

}  // namespace lampflight
