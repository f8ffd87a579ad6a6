#include "scene/flights/files/geo_frame.h"

#include <GeographicLib/AzimuthalEquidistant.hpp>

namespace lampflight {

GeoFrame::GeoFrame(double latitude_deg, double longitude_deg, double elevation_m)
    : zero_{latitude_deg, longitude_deg, elevation_m} {}

Vec3 GeoFrame::world_m(const GeoPosition& position) const {
    const GeographicLib::AzimuthalEquidistant projection;
    Vec3 world_m(0.0, 0.0, position.above_sea_m - zero_.above_sea_m);
    projection.Forward(zero_.latitude_deg, zero_.longitude_deg, position.latitude_deg,
                       position.longitude_deg, world_m.x, world_m.y);
    return world_m;
}

GeoPosition GeoFrame::geodetic(const Vec3& world_m) const {
    const GeographicLib::AzimuthalEquidistant projection;
    GeoPosition position{0.0, 0.0, world_m.z + zero_.above_sea_m};
    projection.Reverse(zero_.latitude_deg, zero_.longitude_deg, world_m.x, world_m.y,
                       position.latitude_deg, position.longitude_deg);
    return position;
}

}  // namespace lampflight
