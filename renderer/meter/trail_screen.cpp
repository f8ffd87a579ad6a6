#include "renderer/meter/trail_screen.h"

#include <algorithm>
#include <cmath>
#include <cstddef>

#include "renderer/develop/tone.h"
#include "renderer/meter/exposure_steps.h"

namespace lampflight {
namespace {

/// Straight lines between the middles of a grid's cells, the outermost carried on to the edges.
template <class At>
auto between_middles(const Vec2& place, const glm::ivec2& cells, At at) {
    const Vec2 from_middle = place - 0.5;
    const Vec2 whole = glm::floor(from_middle);
    const Vec2 part = from_middle - whole;
    const glm::ivec2 low = glm::clamp(glm::ivec2(whole), glm::ivec2(0), cells - 1);
    const glm::ivec2 high = glm::clamp(glm::ivec2(whole) + 1, glm::ivec2(0), cells - 1);
    using Value = decltype(at(0, 0));
    const auto mixed = [](const Value& one, const Value& other, double share) {
        return glm::mix(one, other, share);
    };
    return mixed(mixed(at(low.x, low.y), at(high.x, low.y), part.x),
                 mixed(at(low.x, high.y), at(high.x, high.y), part.x), part.y);
}

}  // namespace

TrailScreen::TrailScreen(const Camera& camera, const ExposureSettings& settings,
                         const PointSpread& spread, const TrailFilm& trail)
    : trail_(trail), sensor_(camera, settings), kept_(spread.kept_share()) {
    SparseImage lit(camera.pixels);
    const std::vector<TrailPixel> pixels = trail.pixels();
    for (const TrailPixel& pixel : pixels)
        lit.rows[static_cast<std::size_t>(pixel.y)].push_back({pixel.x, pixel.mean_lxs});
    spread_lxs_ = spread.laid_on({}, lit);
    for (const TrailPixel& pixel : pixels)
        spread_lxs_.at(pixel.x, pixel.y) -= kept_ * pixel.mean_lxs;
}

bool TrailScreen::holds(const Vec2& place_px) const {
    return place_px.x >= 0.0 && place_px.y >= 0.0 && place_px.x < spread_lxs_.width &&
           place_px.y < spread_lxs_.height;
}

double TrailScreen::light_lxs(const Vec2& place_px) const {
    const glm::ivec2 at(place_px * static_cast<double>(trail_.side()));
    const glm::ivec2 pixel = at / trail_.side();
    const auto parts = trail_.parts(pixel.x, pixel.y);
    if (parts.empty()) return 0.0;
    const glm::ivec2 within = at - pixel * trail_.side();
    return picture_luminance(parts[static_cast<std::size_t>(within.y * trail_.side() + within.x)]);
}

double TrailScreen::operator()(const Vec2& place_px, double light) const {
    return between_middles(place_px * static_cast<double>(trail_.side()), pixels() * trail_.side(),
                           [&](int x, int y) { return part(x, y, static_cast<float>(light)); });
}

double TrailScreen::part(int x, int y, float light) const {
    const int side = trail_.side();
    glm::vec3 lxs = between_middles((Vec2(x, y) + 0.5) / static_cast<double>(side), pixels(),
                                    [&](int u, int v) { return glm::dvec3(spread_lxs_.at(u, v)); });
    const auto parts = trail_.parts(x / side, y / side);
    if (!parts.empty()) lxs += kept_ * parts[static_cast<std::size_t>(y % side * side + x % side)];
    const glm::vec3 pixel = sensor_.develop(sensor_.seen(light * lxs));
    return tone(static_cast<double>(std::max({pixel.r, pixel.g, pixel.b})));
}

}  // namespace lampflight
