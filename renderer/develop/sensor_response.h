// What the sensor makes of light: counts by its three colours, which clip one by one, and from them
// the developed colour under a white balance.
//
// The three colours are Bradford's sharpened cones: filters that overlap, no negative counts for
// real light, and a white balance that is one gain a colour. After the gains all three are cut at
// the lowest of their ends, and the last stop is drawn up to white: blown light is white under any
// balance and no hue jumps.
#pragma once

#include <optional>

#include "renderer/develop/sensor_noise.h"
#include "renderer/film/image.h"
#include "scene/camera/camera.h"
#include "scene/camera/exposure.h"

namespace lampflight {

/// The sensor behind a take. Values by the sensor's colours are exposures in lux seconds, so that
/// the ISO's gain is in what they are compared with. The mean of the dark electrons is taken off,
/// as by a raw file's black level; what noise carries below none stays below it.
class SensorResponse {
public:
    SensorResponse(const Camera& camera, const ExposureSettings& settings);

    /// A row of the film, linear Rec. 709 in lux seconds, by the sensor's colours.
    void see(ConstRow film_lxs, ColourRow& exposure_lxs) const;
    glm::vec3 seen(const glm::vec3& film_lxs) const { return from_rgb_ * film_lxs; }

    /// Clips a pixel's three counts and develops them: linear Rec. 709 relative to mid-grey = 1,
    /// white balanced, no component above saturation.
    ///
    /// The balance lifts each colour's end to another height. All three are cut at the lowest of
    /// them, and over the stop below it the picture is drawn up to its white. So light that has
    /// filled every pixel is white under any balance, neutral light stays neutral all the way, and
    /// coloured light turns white one colour after another, without a step or a foreign hue.
    glm::vec3 develop(const glm::vec3& exposure_lxs) const;
    void develop(const ColourRow& exposure_lxs, Row developed) const;

private:
    glm::vec3 developed(float red_lxs, float green_lxs, float blue_lxs) const;

    glm::mat3 from_rgb_;
    glm::mat3 to_rgb_;
    float clipping_lxs_;
    glm::vec3 gains_;   ///< from lux seconds to balanced light over mid-grey
    float common_end_;  ///< the lowest end of the three
    float over_common_end_;
    float drawn_up_share_;  ///< what that end lacks of white, as a share of it
};

}  // namespace lampflight
