// Files under way: names that nobody else uses, and what a run that was killed left under them.
#pragma once

#include <filesystem>

namespace lampflight {

/// A new empty file in the folder, `.lampflight-PID-N`, open for writing and locked for as long as
/// it is open, so that others know it for one under way. Gives the descriptor and the name, or a
/// negative one with errno set.
int open_temporary(const std::filesystem::path& folder, std::filesystem::path& name);

/// Removes such files of the folder that no living process holds a lock on.
void remove_left_behind(const std::filesystem::path& folder);

}  // namespace lampflight
