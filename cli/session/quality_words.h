// The words for the three qualities, on the command line and in files.
#pragma once

#include <array>
#include <string_view>

#include "renderer/sampling/quality.h"

namespace lampflight {

/// By the order of `Quality`.
constexpr std::array<std::string_view, 3> quality_words{"draft", "good", "fine"};

constexpr std::string_view word_of(Quality quality) {
    return quality_words.at(static_cast<std::size_t>(quality));
}

}  // namespace lampflight
