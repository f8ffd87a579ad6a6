// The scenes to begin from.
#pragma once

#include <string_view>
#include <vector>

namespace lampflight {

struct StartScene {
    std::string_view kind;     ///< the word on the command line
    std::string_view meaning;  ///< one line of help
    std::string_view text;     ///< the whole scene file
};

const std::vector<StartScene>& start_scenes();

}  // namespace lampflight
