// Which light a layer of film holds: its source, and the way by which it came.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <utility>

namespace lampflight {

enum class LightSource { lamp, sky, sun, moon, stars };

/// By way of the surfaces that it lights; as the trail that a lamp draws; or seen itself, as the
/// sky behind all is.
enum class LightWay { surface, trail, view };

struct LayerId {
    LightSource source = LightSource::sky;
    LightWay way = LightWay::view;
    std::string lamp = {};  ///< its name; empty for the other sources

    bool operator==(const LayerId&) const = default;

    /// As reports and files write it: "warm.surface", "warm.trail", "sky.view", "stars".
    std::string text() const;
};

inline LayerId lamp_layer(std::string lamp, LightWay way) {
    return {LightSource::lamp, way, std::move(lamp)};
}

/// Undoes `text`; nothing for any other word.
std::optional<LayerId> layer_id_of(std::string_view text);

}  // namespace lampflight
