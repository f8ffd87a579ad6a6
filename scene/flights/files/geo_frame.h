// Azimuthal equidistant projection about the scene's place: metres east and north of it for
// latitudes and longitudes on WGS 84, and back.
#pragma once

#include "scene/basics/vector.h"

namespace lampflight {

struct GeoPosition {
    double latitude_deg = 0.0;   ///< geodetic, WGS 84, north positive
    double longitude_deg = 0.0;  ///< east positive, from -180 to 180
    double above_sea_m = 0.0;
};

/// The scene is a plane that touches the earth at the place, its metre zero: distance and bearing
/// from there are those of the geodesic, and heights are measured from the place's own level.
class GeoFrame {
public:
    /// A place on the earth, valid as `Place` is.
    GeoFrame(double latitude_deg, double longitude_deg, double elevation_m);

    /// World position of a latitude from -90 to 90 and any longitude.
    Vec3 world_m(const GeoPosition& position) const;
    GeoPosition geodetic(const Vec3& world_m) const;

private:
    GeoPosition zero_;
};

}  // namespace lampflight
