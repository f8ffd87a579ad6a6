// The meter: exposure at named points and over the whole photograph, and how the trails show.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "renderer/film/exposed_take.h"
#include "renderer/meter/point_sight.h"
#include "scene/shoot/placed_shoot.h"

namespace lampflight {

/// One take's light at a point, as a mean over a square of 3 x 3 pixels about its image. Within a
/// pixel and a half of an outline it has its part of what lies beyond.
struct TakeReading {
    std::string take;
    double exposure_lxs;  ///< luminance-weighted, as the lens spreads it
    double stops;         ///< from mid-grey; -infinity for none
    bool clipped;         ///< at or over what the sensor tells apart
    double electrons;     ///< in one of the sensor's own pixels, up to where it clips
    double snr;           ///< of these electrons, over all noise of that pixel
    std::map<std::string, double> layers;  ///< lux seconds by layer; "glow" is what the lens lays
                                           ///< here from elsewhere, less what it takes away
};

struct PointReading {
    std::string name;
    bool in_frame;
    bool hidden;                     ///< something stands before it in its brightest take
    PointSight sight;                ///< in that take; means nothing out of the frame
    Vec2 place_px;                   ///< in the picture, when in the frame
    std::vector<TakeReading> takes;  ///< in the order of the takes; none out of the frame
    std::size_t brightest;           ///< index of the take that exposes it most in stops
    double picture_stops;            ///< from mid-grey, of the photograph as blended

    const TakeReading& brightest_take() const { return takes[brightest]; }
};

struct TrailReading {
    std::string take;  ///< the one in which it is brightest
    double peak_lxs;   ///< of the trail itself, before the lens spreads it
    double stops_over_saturation;
    double width_px;  ///< of the film above half of the peak, across the trail at its brightest
    Vec2 peak_px;     ///< where in the picture it is brightest
    /// Full width at half of white across the trail at its brightest, in pixels of the photograph:
    /// of the strongest colour on the screen, after lens, clipping, blend and tone. 0 where it
    /// doesn't come up to half of white; nothing where all around is as bright.
    std::optional<double> width_seen_px;
};

/// One place of a trail, cut across.
struct LineWidth {
    double px;   ///< of the picture
    Vec2 at_px;  ///< in the picture
};

/// How wide a carried lamp's trail shows in one take (line_widths.h).
struct LineWidths {
    std::string take;
    std::string lamp;
    double peak_lxs;               ///< of the trail itself, before the lens spreads it
    double stops_over_saturation;  ///< of that peak
    /// Nothing where no place is whole and alone.
    std::optional<LineWidth> thickest;
    std::optional<LineWidth> thinnest;
};

/// What each layer brings to the light of a take's whole film, before the lens spreads it.
struct TakeLight {
    std::string take;
    std::map<std::string, double> shares;  ///< of the sum; empty in the dark
};

struct MeterReading {
    std::vector<PointReading> points;
    std::vector<double> step_shares;  ///< of the photograph, by the steps of exposure_steps.h
    double burnt_share;               ///< of the photograph, white in luminance
    double black_share;               ///< of the photograph more than 6 stops under mid-grey
    std::map<std::string, TrailReading> trail;  ///< by lamp, brightest take
    std::vector<LineWidths> trails;             ///< one for each lamp that flies in each take
    std::vector<TakeLight> takes;
};

/// Reads exposed takes of the shoot. `takes` must come from `expose` of the same shoot, `picture`
/// from `photograph` of both, without noise.
MeterReading meter(const PlacedShoot& shoot, const std::vector<ExposedTake>& takes,
                   const Image& picture);

/// The same, for those who have no use for the picture.
MeterReading meter(const PlacedShoot& shoot, const std::vector<ExposedTake>& takes);

}  // namespace lampflight
