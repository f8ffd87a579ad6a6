// `lampflight keys`: the reference of everything that a scene file may hold.
#pragma once

#include <string>

#include "cli/session/outcome.h"

namespace lampflight {

struct KeysOptions {
    std::string table;  ///< only this one; empty for all
    bool json = false;
};

Outcome run_keys(const KeysOptions& options);

}  // namespace lampflight
