// Looks over an OpenEXR file's header before the library reads it, so that a damaged or hostile
// one can't make it ask for memory without end.
#pragma once

#include <cstdint>
#include <istream>
#include <optional>
#include <string>

namespace lampflight {

/// What makes the header of a file of `size` bytes unfit to be read, in a few words; nothing for a
/// sound one. By the layout of "OpenEXR File Layout" (Academy Software Foundation): magic number,
/// version with flags, attributes of name, type, size and value, an empty name at the end of each
/// part's.
std::optional<std::string> unfit_exr_header(std::istream& file, std::uint64_t size);

}  // namespace lampflight
