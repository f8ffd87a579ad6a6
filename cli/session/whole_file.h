// Files that appear whole or not at all: written beside under another name, then renamed.
#pragma once

#include <filesystem>
#include <functional>
#include <optional>
#include <stop_token>
#include <string>
#include <string_view>

namespace lampflight {

/// Why a file could not be written there, found by trying: no folder, no right to write, or
/// something at the place that is not a plain file. Nothing when all is well. Leaves no trace.
std::optional<std::string> trouble_writing(const std::filesystem::path& file);

enum class Written { whole, stopped, failed };

struct WriteResult {
    Written written;
    std::string trouble;  ///< why it failed, and what to do
};

/// Writes the bytes to a name of its own in the same folder, flushes them to the disk and renames
/// them over `file`. A failure or a stop leaves the folder as it was.
WriteResult write_whole_file(const std::filesystem::path& file, std::string_view bytes,
                             std::stop_token stop = {});

/// Puts bytes into the open file, which begins empty and may be sought in; returns zero, or the
/// error number of what failed. What it throws goes on to the caller once the file is removed.
using FillFile = std::function<int(int descriptor)>;

/// The same for a file too large to be held in memory beside what it is made from.
WriteResult write_whole_file(const std::filesystem::path& file, const FillFile& fill,
                             std::stop_token stop = {});

/// Removes what `write_whole_file` has in hand. For a program that is about to end at once.
void remove_unfinished_files();

/// The text of a file, or why it can't be read.
struct FileText {
    std::optional<std::string> text;
    std::string trouble;
};

/// Reads no more than `most_bytes`, so that endless files end as well.
FileText read_file(const std::filesystem::path& file, std::size_t most_bytes);

}  // namespace lampflight
