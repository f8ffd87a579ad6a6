// How many characters a line of figures may hold.
#pragma once

#include <cstddef>

namespace lampflight {

/// The terminal's width where figures go to one; else what COLUMNS says, else 100. At least 72: all
/// tables are made to fit that.
std::size_t output_columns();

}  // namespace lampflight
