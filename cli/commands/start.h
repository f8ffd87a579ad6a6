// `lampflight start`: a commented scene to begin from.
#pragma once

#include <filesystem>
#include <string>

#include "cli/session/outcome.h"

namespace lampflight {

struct StartOptions {
    std::string kind;
    std::filesystem::path file;  ///< empty for standard output
    bool replace = false;
};

Outcome run_start(const StartOptions& options, const Session& session);

}  // namespace lampflight
