// Half floats, as files keep them, and floats.
#pragma once

#include <cstddef>

namespace lampflight {

/// Floats from half floats (IEEE 754-2008, binary16, little endian) at any address. What is no
/// number, and infinity, come out as numbers of 65536 and more in size, which no half float has.
void floats_from_halves(const char* halves, std::size_t count, float* to);

}  // namespace lampflight
