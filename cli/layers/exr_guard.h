// Looks over an OpenEXR file's header before the library reads it, so that a damaged or hostile
// one can't make it ask for memory without end.
#pragma once

#include <cstdint>
#include <istream>

namespace lampflight {

/// Throws UnfitLayers if the header of a file of `size` bytes is unfit to be read. By the layout
/// of "OpenEXR File Layout" (Academy Software Foundation): magic number, version with flags,
/// attributes of name, type, size and value, an empty name at the end of each part's.
void check_exr_header(std::istream& file, std::uint64_t size);

}  // namespace lampflight
