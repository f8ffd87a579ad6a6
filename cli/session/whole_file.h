// Files that appear whole or not at all: written beside under another name, then renamed.
#pragma once

#include <filesystem>
#include <functional>
#include <stop_token>
#include <string>
#include <string_view>
#include <vector>

#include "cli/session/expected.h"

namespace lampflight {

/// Where a file of this name is written: links are followed, so that they stay, to what need not be
/// there. The name itself where they lead round in a ring.
std::filesystem::path real_place(const std::filesystem::path& file);

/// Finds out by trying, before the work: 4 where there is no folder, no right to write, or
/// something at the place that is not a plain file. Leaves no trace.
Expected<Done> check_writable(const std::filesystem::path& file);

/// Writes the bytes to a name of its own in the same folder, flushes them to the disk and renames
/// them over `file`. A failure (4) or a stop (130) leaves the folder as it was.
Expected<Done> write_whole_file(const std::filesystem::path& file, std::string_view bytes,
                                std::stop_token stop = {});

/// Puts bytes into the open file, which begins empty and may be sought in; returns zero, or the
/// error number of what failed. What it throws goes on to the caller once the file is removed.
using FillFile = std::function<int(int descriptor)>;

/// The same for a file too large to be held in memory beside what it is made from.
Expected<Done> write_whole_file(const std::filesystem::path& file, const FillFile& fill,
                                std::stop_token stop = {});

/// For a program that is about to end at once: removes what `write_whole_file` has in hand and
/// gives the names of the files that it wrote. A write that comes to its end later waits for ever.
std::vector<std::string> give_up_writing();

}  // namespace lampflight
