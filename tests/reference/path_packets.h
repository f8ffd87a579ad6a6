// Paths for sixteen pixels side by side: a subpath from the lamp and one from the lens for each,
// every vertex of the one joined with every vertex of the other.
#pragma once

#include <array>

#include "renderer/geometry/geometry.h"
#include "scene/camera/camera.h"
#include "tests/reference/light_path.h"
#include "tests/reference/shifted_points.h"

namespace lampflight {

/// Exposures of sixteen pixels in lux seconds, luminance-weighted, by one path of each kind.
struct PacketLight {
    std::array<double, packet_size> direct{}, bounced{};
};

class PathPackets {
public:
    /// Refers to the shoot, the take and the geometry. At least one bounce.
    PathPackets(const PlacedShoot& shoot, const Take& take, const LitLamp& lit,
                const Geometry& geometry, std::size_t bounces);

    /// Two rows of eight pixels with this corner. Lanes take the points from `first` on, one each.
    PacketLight trace(const glm::ivec2& corner_px, const ShiftedPoints& points,
                      std::size_t first) const;

    /// Of the points that `trace` takes.
    std::size_t dimensions() const { return 6 + 2 * (2 * bounces_ - 1); }

private:
    using Vertices = std::array<PathVertex, packet_size>;

    /// Vertices of sixteen paths that were found one after the other.
    struct Subpaths {
        std::array<Vertices, most_bounces_of_path + 1> vertices;
        std::array<LaneMask, most_bounces_of_path + 1> found{};
    };

    /// Where the lanes' next points are.
    struct Draw {
        const ShiftedPoints& points;
        std::size_t first;
        std::size_t dimension;

        Vec2 pair(int lane) const {
            return points.pair(first + static_cast<std::size_t>(lane), dimension);
        }
    };

    using Sums = std::array<double, packet_size>;

    LaneMask see(const glm::ivec2& corner_px, const Draw& draw, Vertices& receivers) const;
    void add_direct(const Vertices& receivers, LaneMask found, const Draw& draw, Sums& sum) const;
    void add_bounced(const Vertices& receivers, LaneMask found, Draw draw, Sums& sum) const;
    void join(const Subpaths& from_lamp, std::size_t by_lamp, const Subpaths& from_lens,
              std::size_t by_lens, Sums& sum) const;
    void add_unshadowed(const RayPacket& shadow, const Sums& value, Sums& sum) const;
    LaneMask leave_lamp(LaneMask lanes, const Draw& draw, Vertices& next) const;
    LaneMask go_on(const Vertices& from, LaneMask found, const Draw& draw, Vertices& next) const;
    LaneMask arrive(const RayPacket& rays, float spread, Vertices& vertices) const;

    const PlacedShoot& shoot_;
    const Take& take_;
    StandingLamp lamp_;
    const Geometry& geometry_;
    Projection projection_;
    std::size_t bounces_;
    float spread_;
};

}  // namespace lampflight
