// Comma-separated values, RFC 4180, row by row.
#pragma once

#include <cstddef>
#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "scene/flights/files/path_values.h"

namespace lampflight {

struct CsvRow {
    std::size_t line = 0;  ///< of the text, from 1, on which it begins
    std::vector<std::string> cells;
};

/// What is done with a row; its fault ends the reading.
using TakeCsvRow = std::function<PathFault(const CsvRow&)>;

/// Hands out the rows of a text that are not blank; gives the fault of one, or of quotes that don't
/// pair or rows of more than 100 cells. Spaces about a cell don't count.
PathFault for_csv_rows(std::string_view text, char separator, const TakeCsvRow& take);

/// The text as one cell, in quotes where it needs them.
std::string csv_cell(std::string_view text);

}  // namespace lampflight
