// Edit distance, and by it the word that someone most likely meant.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace lampflight {

/// Fewest single-character insertions, deletions, replacements and swaps of neighbours between two
/// words (optimal string alignment, after Damerau 1964, Comm. ACM 7(3)).
int edit_distance(std::string_view one, std::string_view other);

/// The candidate nearest to a mistyped word, the first of equals; nothing when all are too far off.
/// A missing unit counts as one slip: "focal" is near "focal_mm". Capitals do not count.
std::optional<std::string> nearest_word(std::string_view word,
                                        const std::vector<std::string>& candidates);

/// The words by their distance from another, nearest first, equals by alphabet.
std::vector<std::string> nearest_first(std::string_view word, std::vector<std::string> words);

}  // namespace lampflight
