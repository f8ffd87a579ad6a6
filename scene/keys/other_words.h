// Synonyms: other common words for tables and keys, and keys with another unit at their end.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace lampflight {

/// The key that someone most likely meant by a word that is none.
struct MeantKey {
    std::string_view table;  ///< where it is at home: the table asked about, if that has it
    std::string_view key;
    std::string_view unit{};  ///< in which the word gives its number; empty for the key's own
    double factor = 1.0;      ///< from that number to the key's
    std::string_view note{};  ///< what to mind, beyond the other name
};

/// Of a word in a table ("aperture" in "camera"), or at the top (""); nothing for a word that is
/// not known. Capitals, hyphens and underscores do not count.
std::optional<MeantKey> meant_key(std::string_view table, std::string_view word);

/// The table meant by another word for it: "flight" by "path"; empty for none.
std::string_view meant_table(std::string_view word);

/// What to write instead of a number under the word that was found: "7.92" under "height_m" for 26
/// under "height_ft".
std::string number_meant(const MeantKey& meant, double number);

}  // namespace lampflight
