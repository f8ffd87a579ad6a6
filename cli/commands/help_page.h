// The page of `--help`, of the program and of each command.
#pragma once

#include <string>

namespace CLI {
class App;
}

namespace lampflight {

/// Which words must stand in which order, the options, then the footer: paragraphs that are folded
/// to the width there is. Lines of a footer that begin with a space stay as they are.
void set_help(CLI::App& app, const std::string& usage, const std::string& footer);

}  // namespace lampflight
