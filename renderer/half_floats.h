// Half floats in bulk, as films lie in files.
#pragma once

#include <cstddef>

namespace lampflight {

/// Floats of the same values. `halves` are two bytes each in the machine's order, at any address.
void floats_from_halves(const void* halves, std::size_t count, float* to);

}  // namespace lampflight
