// Where the sources make cautions, and the words that they write.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "scene/cautions/cautions.h"

namespace lampflight::testing {

/// A place in the sources that makes a caution: `"height", CautionLevel::danger, "..."`.
struct CautionSite {
    std::string file;
    std::string about;  ///< empty where it does not stand right before the level
    CautionLevel level;
    std::string words;  ///< the longest part of its text between placeholders; may be empty
};

/// Of all sources in a folder.
std::vector<CautionSite> caution_sites(const std::filesystem::path& folder);

/// Texts between double quotes in a C++ source, neighbours joined, `#include` lines left out.
std::vector<std::string> literals_of(const std::string& source);

/// A word by which a text would promise that a flight may be flown or harms nobody; empty for none.
/// "may not be lawful" and the like promise nothing.
std::string promise_in(const std::string& text);

}  // namespace lampflight::testing
