#include "cli/sheets/guide_path.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "scene/basics/names.h"
#include "scene/shoot/lit_lamp.h"

namespace lampflight {
namespace {

constexpr double least_light_share = 1.0 / 32.0;  // five stops

/// A shoot without what is not planned, or hides which stretches are.
Shoot planned(const Shoot& shoot) {
    Shoot plan = shoot;
    plan.air.gust_m_s.reset();
    for (Flight& flight : plan.flights) flight.wander_m.reset();
    for (Lamp& lamp : plan.lamps) lamp.pulse.per_minute.reset();
    std::erase_if(plan.lamps, [](const Lamp& lamp) { return lamp.own_light; });
    return plan;
}

/// A lamp that flies, and how much of its light goes to the camera.
class CarriedLamp {
public:
    CarriedLamp(const PlacedShoot& shoot, LitLamp lit, const Vec3& camera_m)
        : lit_(std::move(lit)),
          targets_(aim_targets(shoot, lit_)),
          beam_(*lit_.lamp),
          camera_m_(camera_m) {}

    const std::string& name() const { return lit_.lamp->name; }
    bool burns(double time_s) const { return covers(lit_.lit, time_s); }

    double camera_cd(double time_s) const {
        const Vec3 apart = camera_m_ - lit_.position_m(time_s);
        const double distance_m = glm::length(apart);
        if (!(distance_m > 0.0)) return beam_.peak_cd();
        const Vec3 aim = aim_direction(lit_, targets_, time_s);
        return beam_.intensity_cd(glm::dot(aim, apart) / distance_m);
    }

    /// Times at which it may go over from one to the other.
    void add_changes(std::vector<double>& times_s) const {
        for (const TimeWindow& window : lit_.lit) {
            times_s.push_back(window.from_s);
            times_s.push_back(window.to_s);
        }
        for (const double time_s : lit_.breaks_s()) times_s.push_back(time_s);
    }

private:
    LitLamp lit_;
    AimTargets targets_;
    Beam beam_;
    Vec3 camera_m_;
};

/// Makes the path of one flown flight on the film.
class PathMaker {
public:
    PathMaker(const Camera& camera, double step_px)
        : camera_(camera), projection_(camera), step_px_(step_px) {}

    GuidePath make(const FlownFlight& flown, const std::vector<CarriedLamp>& lamps) const {
        GuidePath path;
        path.flight = flown.flight->name;
        path.is_way = flown.from != nullptr;
        path.from_s = flown.path.begins_s();
        path.until_s = flown.until_s();
        path.cut_off = flown.path.ends_s() > flown.until_s() + 0.05;
        std::vector<const CarriedLamp*> carried;
        for (const CarriedLamp& lamp : lamps)
            if (contains(flown.flight->carries, lamp.name())) carried.push_back(&lamp);
        const std::vector<double> times_s = times_of(flown, carried);
        path.stretches = stretches_of(flown, times_s, lines_of(times_s, carried));
        path.start = in_picture(flown, path.from_s);
        path.end = in_picture(flown, path.until_s);
        add_seconds(flown, path);
        return path;
    }

private:
    std::optional<Vec2> on_film(const FlownFlight& flown, double time_s) const {
        return projection_.film_px(flown.path.position_m(time_s));
    }

    std::optional<Vec2> in_picture(const FlownFlight& flown, double time_s) const {
        const auto place = on_film(flown, time_s);
        return place && in_frame(camera_, *place) ? place : std::nullopt;
    }

    /// Whether two places may show something of the way between them.
    bool may_show(const std::optional<Vec2>& one, const std::optional<Vec2>& other) const {
        if (!one || !other) return one.has_value() != other.has_value();
        const Vec2 size(camera_.pixels);
        const Vec2 low = glm::min(*one, *other), high = glm::max(*one, *other);
        const Vec2 margin = 0.1 * size;
        return high.x > -margin.x && high.y > -margin.y && low.x < size.x + margin.x &&
               low.y < size.y + margin.y;
    }

    /// Adds the times after `from_s` up to `to_s`, closer where the film moves far.
    void add_times(const FlownFlight& flown, double from_s, double to_s, int depth,
                   std::vector<double>& times_s) const {
        const auto from = on_film(flown, from_s), to = on_film(flown, to_s);
        constexpr int deepest = 14;
        const bool far = !from || !to || glm::distance(*from, *to) > step_px_;
        if (depth < deepest && far && may_show(from, to)) {
            const double middle_s = 0.5 * (from_s + to_s);
            add_times(flown, from_s, middle_s, depth + 1, times_s);
            add_times(flown, middle_s, to_s, depth + 1, times_s);
            return;
        }
        times_s.push_back(to_s);
    }

    std::vector<double> times_of(const FlownFlight& flown,
                                 const std::vector<const CarriedLamp*>& carried) const {
        const double from_s = flown.path.begins_s(), until_s = flown.until_s();
        std::vector<double> coarse_s;
        constexpr double coarsest_s = 0.25;
        const int count =
            static_cast<int>(std::clamp((until_s - from_s) / coarsest_s, 32.0, 20000.0));
        for (int i = 0; i <= count; ++i)
            coarse_s.push_back(from_s + (until_s - from_s) * i / count);
        for (const double time_s : flown.path.breaks_s()) coarse_s.push_back(time_s);
        for (const CarriedLamp* lamp : carried) lamp->add_changes(coarse_s);
        std::erase_if(coarse_s, [&](double time_s) { return time_s < from_s || time_s > until_s; });
        std::ranges::sort(coarse_s);
        coarse_s.erase(std::unique(coarse_s.begin(), coarse_s.end()), coarse_s.end());
        std::vector<double> times_s{coarse_s.front()};
        for (std::size_t i = 1; i < coarse_s.size(); ++i)
            add_times(flown, coarse_s[i - 1], coarse_s[i], 0, times_s);
        return times_s;
    }

    /// What the lamps do between each time and the next.
    static std::vector<GuideLine> lines_of(const std::vector<double>& times_s,
                                           const std::vector<const CarriedLamp*>& carried) {
        std::vector<GuideLine> lines(times_s.size() - 1, GuideLine::dark);
        for (const CarriedLamp* lamp : carried) {
            std::vector<double> sent_cd(lines.size(), -1.0);
            for (std::size_t i = 0; i < lines.size(); ++i) {
                const double time_s = 0.5 * (times_s[i] + times_s[i + 1]);
                if (lamp->burns(time_s)) sent_cd[i] = lamp->camera_cd(time_s);
            }
            const double least_cd =
                sent_cd.empty() ? 0.0 : least_light_share * *std::ranges::max_element(sent_cd);
            for (std::size_t i = 0; i < lines.size(); ++i) {
                if (sent_cd[i] < 0.0) continue;
                const bool shows = sent_cd[i] > 0.0 && sent_cd[i] >= least_cd;
                lines[i] = std::min(lines[i], shows ? GuideLine::burning : GuideLine::turned_away);
            }
        }
        return lines;
    }

    std::vector<GuideStretch> stretches_of(const FlownFlight& flown,
                                           const std::vector<double>& times_s,
                                           const std::vector<GuideLine>& lines) const {
        std::vector<GuideStretch> stretches;
        bool going_on = false;
        auto before = on_film(flown, times_s.front());
        for (std::size_t i = 0; i < lines.size(); ++i) {
            const auto place = on_film(flown, times_s[i + 1]);
            const bool shown = before && place && may_show(before, place);
            if (shown && !(going_on && stretches.back().line == lines[i]))
                stretches.push_back({lines[i], {*before}});
            if (shown) stretches.back().places.push_back(*place);
            going_on = shown;
            before = place;
        }
        return stretches;
    }

    void add_seconds(const FlownFlight& flown, GuidePath& path) const {
        constexpr double about_s = 0.02, least_moved_px = 1e-3;
        constexpr double most = 20000.0;
        const double last_s = std::min(std::floor(path.until_s + 1e-9), path.from_s + most);
        for (double time_s = std::ceil(path.from_s - 1e-9); time_s <= last_s; time_s += 1.0) {
            const auto place = in_picture(flown, time_s);
            const auto before = on_film(flown, std::max(path.from_s, time_s - about_s));
            const auto after = on_film(flown, std::min(path.until_s, time_s + about_s));
            if (!place || !before || !after) continue;
            const double moved_px = glm::distance(*before, *after);
            if (moved_px > least_moved_px)
                path.seconds.push_back({time_s, *place, (*after - *before) / moved_px});
        }
    }

    const Camera& camera_;
    Projection projection_;
    double step_px_;
};

}  // namespace

std::vector<GuidePath> guide_paths(const PlacedShoot& shoot, std::span<const std::string> takes,
                                   double step_px) {
    const Shoot plan = planned(shoot);
    const PathMaker maker(shoot.camera, step_px);
    const std::span<const std::string> names = takes.empty() ? plan.photograph.takes : takes;
    std::vector<GuidePath> paths;
    for (std::size_t i = 0; i < names.size(); ++i) {
        const Take* take = find_named(plan.takes, names[i]);
        if (take == nullptr) continue;
        std::vector<CarriedLamp> lamps;
        for (LitLamp& lit : lit_lamps(plan, *take))
            if (lit.flies()) lamps.emplace_back(shoot, std::move(lit), shoot.camera.position_m);
        std::vector<FlownFlight> flown = flown_flights(plan, *take);
        for (FlownFlight& way : flown_ways(plan, *take, flown)) flown.push_back(std::move(way));
        for (const FlownFlight& one : flown) {
            if (!(one.flown_s > 0.0)) continue;
            paths.push_back(maker.make(one, lamps));
            paths.back().take = i;
        }
    }
    return paths;
}

}  // namespace lampflight
