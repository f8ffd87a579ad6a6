#include "scene/shoot/layer_id.h"

#include <array>
#include <utility>

namespace lampflight {
namespace {

// In the order of the sources after lamps, and of the ways.
constexpr std::array<std::string_view, 4> source_words{"sky", "sun", "moon", "stars"};
constexpr std::array<std::string_view, 3> way_words{"surface", "trail", "view"};

/// The value of an enumeration by its word.
template <class Value, std::size_t count>
std::optional<Value> value_of(const std::array<std::string_view, count>& words,
                              std::string_view word, int first) {
    for (std::size_t i = 0; i < count; ++i)
        if (words[i] == word) return static_cast<Value>(static_cast<int>(i) + first);
    return std::nullopt;
}

}  // namespace

std::string LayerId::text() const {
    const auto number = static_cast<std::size_t>(source);
    if (source == LightSource::stars) return std::string(source_words[number - 1]);
    std::string words = source == LightSource::lamp ? lamp : std::string(source_words[number - 1]);
    return words.append(".").append(way_words[static_cast<std::size_t>(way)]);
}

std::optional<LayerId> layer_id_of(std::string_view text) {
    if (text == source_words.back()) return LayerId{LightSource::stars, LightWay::view};
    const std::size_t dot = text.rfind('.');
    if (dot == std::string_view::npos || dot == 0) return std::nullopt;
    const auto way = value_of<LightWay>(way_words, text.substr(dot + 1), 0);
    if (!way) return std::nullopt;
    const std::string_view source = text.substr(0, dot);
    if (const auto word = value_of<LightSource>(source_words, source, 1);
        word && *word != LightSource::stars)
        return LayerId{*word, *way};
    return lamp_layer(std::string(source), *way);
}

}  // namespace lampflight
