#include "scene/shoot/framing.h"

#include <algorithm>
#include <cmath>

#include "scene/shoot/path_times.h"

namespace lampflight {
namespace {

bool inside(const Vec2& share) {
    return share.x >= 0.0 && share.x <= 1.0 && share.y >= 0.0 && share.y <= 1.0;
}

void widen(std::optional<FrameBox>& box, const Vec2& share) {
    if (!box) box = FrameBox{share.x, share.y, share.x, share.y};
    box->left = std::min(box->left, share.x);
    box->right = std::max(box->right, share.x);
    box->top = std::min(box->top, share.y);
    box->bottom = std::max(box->bottom, share.y);
}

}  // namespace

Framing frame_flight(const Camera& camera, const FlightPath& path, double shutter_s) {
    const Projection projection(camera);
    const PathTimes times = path_times(path, shutter_s);
    const double flown_s = times.to_s - times.from_s;
    Framing framing{0.0, std::nullopt};
    if (flown_s <= 0.0) return framing;

    // Even steps are the ends of the stretches and only widen the box; odd ones are their middles
    // and stand for their time.
    constexpr int stretches = 4096;
    int within = 0;
    for (int i = 0; i <= 2 * stretches; ++i) {
        const double time_s = times.from_s + flown_s * static_cast<double>(i) / (2.0 * stretches);
        const std::optional<Vec2> film_px = projection.film_px(path.position_m(time_s));
        if (!film_px) continue;
        const Vec2 share = *film_px / Vec2(camera.pixels);
        widen(framing.box, share);
        if (i % 2 == 1 && inside(share)) ++within;
    }
    framing.in_frame = static_cast<double>(within) / stretches;
    return framing;
}

double closure_deg(const Flight& flight, const FlightPath& path, double shutter_s) {
    if (!closes(flight.shape)) return 0.0;
    const double flown_turns = path.flown_turns(shutter_s) - path.flown_turns(0.0);
    return 360.0 * (flown_turns - std::max(1.0, std::round(flown_turns)));
}

}  // namespace lampflight
