// Looks over an OpenEXR file's header before the library reads it, so that a damaged or hostile
// one can't make it ask for memory without end.
#pragma once

#include <optional>
#include <string>

#include "cli/layers/exr_source.h"

namespace lampflight {

/// What makes the header unfit to be read, in a few words; nothing for a sound one. By the layout
/// of "OpenEXR File Layout" (Academy Software Foundation): magic number, version with flags,
/// attributes of name, type, size and value, an empty name at the end of each part's.
std::optional<std::string> unfit_exr_header(const ExrSource& source);

}  // namespace lampflight
