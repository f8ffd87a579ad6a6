#include "scene/sky/air.h"

#include "scene/basics/angle.h"

namespace lampflight {

Vec3 wind_m_s(const Air& air) {
    return air.wind_m_s * -direction_of(radians(air.wind_from_deg));
}

}  // namespace lampflight
