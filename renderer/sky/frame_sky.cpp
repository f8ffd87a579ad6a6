#include "renderer/sky/frame_sky.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "scene/camera/lens_light.h"
#include "scene/shoot/take_moment.h"

namespace lampflight {
namespace {

constexpr double first_step_s = 1200.0;
constexpr double shortest_step_s = 90.0;
constexpr int most_first_steps = 24;
// Half-way between two nodes; what is left after a node is put there is a quarter of it or so.
constexpr double bend_stops = 0.05;
// An afterglow may give a frame that looks at it many times its share of the light on the ground.
constexpr double crowded = 20.0;
constexpr double least_share = 1e-3;

/// The night without its bodies.
NightSky without_bodies(NightSky night) {
    night.sun.clear_lx = 0.0;
    night.moon.clear_lx = 0.0;
    return night;
}

/// Nothing but bodies.
NightSky bodies_only(NightSky night) {
    night.night_mag_arcsec2 = std::numeric_limits<double>::infinity();
    night.town.reset();
    return night;
}

}  // namespace

FrameView::FrameView(const Camera& camera) {
    constexpr int columns = 64, rows = 96;
    const Projection projection(camera);
    const LensLight lens(camera);
    const auto ray_through = [&](const Vec2& film_px) {
        return Ray{glm::vec3(projection.direction(film_px)),
                   static_cast<float>(lens.factor(film_px))};
    };
    for (int row = 0; row < rows; ++row)
        for (int column = 0; column < columns; ++column) {
            const Vec2 share{(column + 0.5) / columns, (row + 0.5) / rows};
            const Ray ray = ray_through(share * Vec2(camera.pixels));
            if (ray.direction.z > 0.0f) rays_.push_back(ray);
        }
    shows_sky_ = !rays_.empty();
    if (shows_sky_) return;
    Ray ahead = ray_through(0.5 * Vec2(camera.pixels));
    ahead.direction.z = 0.0f;
    const float level = glm::length(ahead.direction);
    ahead.direction = level > 1e-6f ? ahead.direction / level : glm::vec3(0.0f, 1.0f, 0.0f);
    rays_.push_back(ahead);
}

glm::vec3 FrameView::film_cd_m2(const Sky& sky) const {
    glm::vec3 sum(0.0f);
    for (const Ray& ray : rays_) sum += ray.lens_factor * sky.luminance_cd_m2(ray.direction);
    return sum / static_cast<float>(rays_.size());
}

FrameSky::FrameSky(const Shoot& shoot, double from_s, double to_s, const std::stop_token& stop)
    : shoot_(shoot),
      stop_(stop),
      view_(shoot.camera),
      air_(atmosphere_of(night_at(from_s))),
      night_cd_m2_(view_.film_cd_m2(Sky(without_bodies(night_at(from_s)), air_))),
      sun_(nodes_of(Body::sun, from_s, to_s)),
      moon_(nodes_of(Body::moon, from_s, to_s)) {}

NightSky FrameSky::night_at(double unix_s) const {
    return night_sky(shoot_, unix_s);
}

/// Up to 1: how much of the frame's light a body may give.
double FrameSky::share_of(Body body, double unix_s) const {
    const NightSky night = night_at(unix_s);
    const double lx = body == Body::sun ? night.sun.clear_lx : night.moon.clear_lx;
    return std::min(1.0, crowded * lx / horizontal_lx(night));
}

FrameSky::Node FrameSky::node_at(Body body, double unix_s) const {
    NightSky night = bodies_only(night_at(unix_s));
    night.sun.clear_lx = body == Body::sun ? 1.0 : 0.0;
    night.moon.clear_lx = body == Body::moon ? 1.0 : 0.0;
    const glm::vec3 film_cd_m2 = view_.film_cd_m2(Sky(night, air_));
    const float level = std::max(luminance(film_cd_m2), 1e-20f);
    return {unix_s, std::log2(static_cast<double>(level)), film_cd_m2 / level};
}

FrameSky::Nodes FrameSky::nodes_of(Body body, double from_s, double to_s) const {
    const int steps = std::clamp(static_cast<int>(std::ceil((to_s - from_s) / first_step_s)), 1,
                                 most_first_steps);
    const auto time_s = [&](int step) { return std::lerp(from_s, to_s, step / (1.0 * steps)); };
    double share = 0.0;
    for (int step = 0; step <= steps; ++step) share = std::max(share, share_of(body, time_s(step)));
    Nodes nodes{node_at(body, from_s)};
    if (share < least_share) return nodes;
    for (int step = 1; step <= steps && !stop_.stop_requested(); ++step) {
        const Node from = nodes.back();
        const Node to = node_at(body, time_s(step));
        add_between(body, from, to, nodes);
        nodes.push_back(to);
    }
    return nodes;
}

void FrameSky::add_between(Body body, const Node& from, const Node& to, Nodes& nodes) const {
    if (to.unix_s - from.unix_s < shortest_step_s || stop_.stop_requested()) return;
    const Node middle = node_at(body, 0.5 * (from.unix_s + to.unix_s));
    const double bend =
        std::abs(middle.log_luminance - 0.5 * (from.log_luminance + to.log_luminance));
    const bool smooth = bend * share_of(body, middle.unix_s) < bend_stops;
    if (!smooth) add_between(body, from, middle, nodes);
    nodes.push_back(middle);
    if (!smooth) add_between(body, middle, to, nodes);
}

glm::vec3 FrameSky::read(const Nodes& nodes, double unix_s) {
    const auto after =
        std::upper_bound(nodes.begin(), nodes.end(), unix_s,
                         [](double time_s, const Node& node) { return time_s < node.unix_s; });
    const Node& to = after == nodes.end() ? nodes.back() : *after;
    const Node& from = after == nodes.begin() ? nodes.front() : *std::prev(after);
    const double span_s = to.unix_s - from.unix_s;
    const double share = span_s > 0.0 ? (unix_s - from.unix_s) / span_s : 0.0;
    const double level = std::exp2(std::lerp(from.log_luminance, to.log_luminance, share));
    return static_cast<float>(level) * glm::mix(from.colour, to.colour, static_cast<float>(share));
}

glm::vec3 FrameSky::film_cd_m2(double unix_s) const {
    const NightSky night = night_at(unix_s);
    return night_cd_m2_ + static_cast<float>(night.sun.clear_lx) * read(sun_, unix_s) +
           static_cast<float>(night.moon.clear_lx) * read(moon_, unix_s);
}

}  // namespace lampflight
