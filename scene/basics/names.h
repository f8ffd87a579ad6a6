// Lists of names.
#pragma once

#include <algorithm>
#include <string_view>

namespace lampflight {

/// Whether a name is in a list of names, whichever way either holds its text.
template <class Names>
bool contains(const Names& names, std::string_view name) {
    return std::ranges::find(names, name) != names.end();
}

}  // namespace lampflight
