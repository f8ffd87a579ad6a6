// What the command line offers: commands, options and their help.
#pragma once

#include <string>
#include <vector>

#include "renderer/expose/expose.h"

namespace CLI {
class App;
}

namespace lampflight {

/// Everything that may stand on the command line, as it was written.
struct Words {
    std::string kind, scene, output, quality, size, table, overlay, layers;
    std::vector<std::string> changes, takes, lamps;
    int bounces = RenderSettings{}.bounces;
    int threads = 0;  // 0: not given
    bool json = false, quiet = false, replace = false, clean = false, full_float = false;
};

/// Adds every command; parsing then fills in `words`, which must outlive it. Words that no command
/// knows are kept as the parser's remaining ones.
void offer_commands(CLI::App& app, Words& words);

}  // namespace lampflight
