// A path of light from a standing lamp over surfaces to the one that the lens sees: what it
// carries, and how likely each way of drawing it finds it. A path has a vertex at every surface;
// the first of them may be drawn from the lamp by its beam, later ones from the vertex before or
// from the one behind by the cosine.
#pragma once

#include <span>

#include "renderer/geometry/geometry.h"
#include "scene/lamps/lamp.h"
#include "scene/shoot/lit_lamp.h"

namespace lampflight {

constexpr std::size_t most_bounces_of_path = 3;

/// A direction by its cosine to an axis and its turn about it, in turns.
Vec3 about_axis(const Vec3& axis, double cosine, double turn);

/// A direction by the cosine to a normal.
Vec3 diffuse_direction(const Vec3& normal, const Vec2& place);

class StandingLamp {
public:
    StandingLamp(const PlacedShoot& shoot, const LitLamp& lit);

    Vec3 position_m() const { return position_m_; }
    /// How long it burns, more of it where the take asks for more light.
    double weighted_s() const { return weighted_s_; }
    double flux_lm() const { return flux_lm_; }
    const Rgb& colour() const { return colour_; }
    double intensity_cd(const Vec3& direction) const;

    /// A direction drawn by the intensity.
    Vec3 direction(const Vec2& place) const;

    /// A place on its face, a disc that is turned towards the point.
    Vec3 on_face(const Vec3& point_m, const Vec2& place) const;

private:
    Beam beam_;
    Vec3 position_m_;
    Vec3 aim_;
    double face_radius_m_;
    double weighted_s_;
    double flux_lm_;
    double lobe_share_;  ///< of the flux
    Rgb colour_;
};

struct PathVertex {
    Vec3 position_m;
    Vec3 normal;
    Vec3 face_normal;
    Rgb reflectance;
};

PathVertex vertex_of(const SurfacePacket& surfaces, int lane);
Vec3 off_surface(const PathVertex& vertex);

/// Illuminance of a path's last vertex by this path alone, in lux per m2 of each vertex before it,
/// over the sum of the densities with which the ways to draw it find it; nothing in between. `path`
/// goes from the lamp to the surface that the lens sees, over no more bounces than above. Light
/// arrives by the cosine to the normal and leaves from an area by the cosine to the face.
Rgb share_of_path(const StandingLamp& lamp, std::span<const PathVertex* const> path);

}  // namespace lampflight
