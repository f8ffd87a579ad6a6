// The files that a command will write, found fit before any work.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "cli/session/expected.h"

namespace lampflight {

/// A file that a command reads, and what it is to the user: "the scene itself", "a mesh of it".
struct InputFile {
    std::filesystem::path file;
    std::string what;
};

/// Finds out by trying whether each can be written, as `check_writable` does (4), and whether it is
/// one of the inputs or another output, however it is spelled: links are followed, and a file is
/// known by device and inode (2).
Expected<Done> check_outputs(const std::vector<std::filesystem::path>& outputs,
                             const std::vector<InputFile>& inputs = {});

}  // namespace lampflight
