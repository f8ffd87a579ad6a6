// One take developed: its film through the sensor, some rows at a time.
#pragma once

#include <optional>

#include "renderer/develop/sensor_noise.h"
#include "renderer/develop/sensor_response.h"
#include "renderer/lens/spread_film.h"
#include "scene/shoot/shoot.h"

namespace lampflight {

/// Refers to spread and film, which is the take's. `half` is its surfaces at half their size.
class TakeDevelopment {
public:
    TakeDevelopment(const Shoot& shoot, const PointSpread& spread, const ExposedTake& take,
                    const FilmRows& film, Image half, Noise noise);

    /// Room that is kept from one call to the next.
    struct Room;

    /// Fills the rows from `first` to `end` of the picture; `first` is the first of `picture`:
    /// linear Rec. 709 relative to mid-grey, white balanced, clipped above but not below. Where
    /// trails run, the parts of a pixel clip one by one before their mean. May be called from
    /// several threads, each with a room of its own; many rows at once cost less.
    void develop(int first, int end, Image& picture, Room& room) const;

private:
    /// A row on its way: what the sensor sees of it, and the deviates of its counts.
    struct Stretch {
        ColourRow exposure_lxs;
        ColourRow drawn;
    };

    /// The parts of all of a row's pixels where trails run, side by side.
    struct Parts {
        std::vector<glm::vec3> lxs;
        ColourRow exposure_lxs;
        ColourRow deviates;
    };

    void load(int y, ConstRow film_lxs, Stretch& stretch) const;
    void develop_trails(int y, ConstRow film_lxs, const ColourRow* deviates, Parts& parts,
                        Row row) const;

    SpreadFilm film_;
    SensorResponse sensor_;
    std::optional<SensorNoise> noise_;
};

struct TakeDevelopment::Room {
    PointSpread::Room spread;
    Image film_lxs;
    std::vector<Stretch> rows;
    ColourRow lent;
    Parts parts;
};

}  // namespace lampflight
