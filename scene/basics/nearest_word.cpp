#include "scene/basics/nearest_word.h"

#include <algorithm>
#include <cstddef>
#include <utility>

namespace lampflight {
namespace {

constexpr std::size_t longest_word = 64;

std::string small_letters(std::string_view word) {
    std::string small(word);
    for (char& letter : small)
        if (letter >= 'A' && letter <= 'Z') letter = static_cast<char>(letter - 'A' + 'a');
    return small;
}

bool lacks_only_unit(std::string_view word, std::string_view candidate) {
    return word.size() >= 3 && candidate.size() > word.size() &&
           candidate.substr(0, word.size()) == word && candidate[word.size()] == '_';
}

}  // namespace

int edit_distance(std::string_view one, std::string_view other) {
    std::vector<int> before(other.size() + 1), last(other.size() + 1), row(other.size() + 1);
    for (std::size_t j = 0; j <= other.size(); ++j) last[j] = static_cast<int>(j);
    for (std::size_t i = 1; i <= one.size(); ++i) {
        row[0] = static_cast<int>(i);
        for (std::size_t j = 1; j <= other.size(); ++j) {
            const int replaced = last[j - 1] + (one[i - 1] == other[j - 1] ? 0 : 1);
            row[j] = std::min({replaced, last[j] + 1, row[j - 1] + 1});
            if (i > 1 && j > 1 && one[i - 1] == other[j - 2] && one[i - 2] == other[j - 1])
                row[j] = std::min(row[j], before[j - 2] + 1);
        }
        std::swap(before, last);
        std::swap(last, row);
    }
    return last[other.size()];
}

std::optional<std::string> nearest_word(std::string_view word,
                                        const std::vector<std::string>& candidates) {
    if (word.size() > longest_word) return std::nullopt;
    const std::string meant = small_letters(word);
    std::optional<std::string> nearest;
    int fewest = std::max(1, static_cast<int>(word.size()) / 3) + 1;
    for (const std::string& candidate : candidates) {
        if (candidate.size() > longest_word) continue;
        const std::string small = small_letters(candidate);
        const bool too_long = candidate.size() >= word.size() + static_cast<std::size_t>(fewest);
        if (too_long && !lacks_only_unit(meant, small)) continue;
        const int slips = lacks_only_unit(meant, small) ? 1 : edit_distance(meant, small);
        if (slips >= fewest) continue;
        fewest = slips;
        nearest = candidate;
    }
    return nearest;
}

std::vector<std::string> nearest_first(std::string_view word, std::vector<std::string> words) {
    const std::string meant = small_letters(word.substr(0, longest_word));
    std::vector<std::pair<int, std::string>> ranked;
    ranked.reserve(words.size());
    for (std::string& other : words)
        ranked.emplace_back(edit_distance(meant, small_letters(other).substr(0, longest_word)),
                            std::move(other));
    std::sort(ranked.begin(), ranked.end());
    words.clear();
    for (auto& [slips, other] : ranked) words.push_back(std::move(other));
    return words;
}

}  // namespace lampflight
