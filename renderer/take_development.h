// One take developed: its film through the sensor, row by row, so that nothing but the picture is
// as large as the frame.
#pragma once

#include <functional>
#include <optional>

#include "renderer/film_rows.h"
#include "renderer/sensor_noise.h"
#include "renderer/sensor_response.h"
#include "scene/shoot.h"

namespace lampflight {

/// Refers to spread and take.
class TakeDevelopment {
public:
    TakeDevelopment(const Shoot& shoot, const PointSpread& spread, const ExposedTake& take,
                    Noise noise);

    /// Hands over every row of the picture: linear Rec. 709 relative to mid-grey, white balanced,
    /// clipped above but not below. From several threads, each row once. Where trails run, the
    /// parts of a pixel clip one by one before their mean.
    using Keep = std::function<void(int y, ConstRow row)>;
    void develop(const Keep& keep) const;

private:
    /// A row on its way: the film, what the sensor sees of it, and the deviates of its counts.
    struct Stretch {
        std::vector<glm::vec3> film_lxs;
        ColourRow exposure_lxs;
        ColourRow drawn;
    };

    Stretch empty_stretch() const;
    void load(int y, Stretch& stretch) const;
    void develop_strip(int first, int end, const Keep& keep) const;
    void develop_row(int y, Stretch& stretch, const ColourRow* deviates, Row row) const;
    glm::vec3 mean_of_parts(const TrailPixel& trail, const glm::vec3& film_lxs,
                            const ColourRow* deviates) const;

    SpreadFilm film_;
    SensorResponse sensor_;
    std::optional<SensorNoise> noise_;
};

}  // namespace lampflight
