#include "scene/cautions/caution_kinds.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "scene/basics/angle.h"
#include "scene/basics/wording.h"
#include "scene/camera/lens_light.h"
#include "scene/cautions/film_estimate.h"
#include "scene/shoot/framing.h"
#include "scene/shoot/open_lamp_light.h"
#include "scene/subjects/box.h"

namespace lampflight {
namespace {

// Light that lays less than this on film hardly shows. Common practice, no source.
constexpr double faintest_stops = -5.0;  ///< from mid-grey
constexpr double faintest_trail_cd = 0.01;

/// What a mesh sends back where the scene does not say.
constexpr double usual_reflectance = 0.2;

bool is_in_frame(const Camera& camera, const Projection& projection, const Vec3& place_m) {
    const auto film_px = projection.film_px(place_m);
    return film_px && in_frame(camera, *film_px);
}

/// A take with one of its flights and no standing lamps.
Take only(const Take& take, const Flight& flight) {
    Take alone = take;
    alone.flights = {flight.name};
    alone.lamps = std::vector<std::string>{};
    return alone;
}

/// What one flight's lamps, but for the drone's own lights, bring to the picture by themselves.
class FlightAlone {
public:
    FlightAlone(const FlownTake& seen, const FlownFlight& flown)
        : take_(only(seen.take, *flown.flight)),
          alone_(seen.shoot, take_),
          flown_(alone_.flights.front()),
          projection_(seen.shoot.camera) {
        std::erase_if(alone_.lit, [](const LitLamp& lit) { return lit.lamp->own_light; });
    }

    bool has_lamps() const { return !alone_.lit.empty(); }

    /// Whether the flight shows no light to the lens while it is out of the frame.
    bool hides_outside() const {
        constexpr int steps = 256;
        for (const LitLamp& lit : alone_.lit) {
            const Beam beam(*lit.lamp);
            const AimTargets targets = aim_targets(alone_.shoot, lit);
            for (int i = 0; i <= steps; ++i) {
                const double time_s = flown_.time_s(1.0 * i / steps);
                const Vec3 lamp_m = lit.position_m(time_s);
                if (!covers(lit.lit, time_s) ||
                    is_in_frame(alone_.shoot.camera, projection_, lamp_m))
                    continue;
                const Vec3 to_lens = projection_.position_m() - lamp_m;
                const double cos_to_aim = glm::dot(aim_direction(lit, targets, time_s), to_lens) /
                                          std::max(glm::length(to_lens), 1e-6);
                if (lit.flux_scale * beam.intensity_cd(cos_to_aim) > faintest_trail_cd)
                    return false;
            }
        }
        return true;
    }

    /// `"walker" and the ground in frame`; empty for nothing that shows.
    std::string lights() const {
        const std::vector<std::string> names = lit_subjects();
        if (!lights_ground()) return alternatives(names, "and");
        std::string words;
        for (const std::string& name : names)
            words += (words.empty() ? "" : ", ") + in_quotes(name);
        return (words.empty() ? "" : words + " and ") + "the ground in frame";
    }

private:
    std::vector<std::string> lit_subjects() const {
        const OpenLampLight lamps(alone_.shoot, alone_.lit);
        const LensLight lens(alone_.shoot.camera);
        const double factor = lens.factor(Vec2(alone_.shoot.camera.pixels) / 2.0);
        std::vector<std::string> names;
        for (const std::size_t place : alone_.present) {
            const Subject& subject = alone_.shoot.subjects[place];
            const Box box = box_of(alone_.shoot.meshes[place]);
            if (!shows(box)) continue;
            const double cd_s_m2 = lamps.facing_lxs(box.middle_m()) *
                                   subject.reflectance.value_or(usual_reflectance) / pi;
            const double exposure_lxs =
                focal_plane_exposure_lxs(factor * cd_s_m2, 1.0, alone_.settings.f_number);
            if (stops_from_mid_grey(exposure_lxs, alone_.settings.iso) > faintest_stops)
                names.push_back(subject.name);
        }
        return names;
    }

    bool shows(const Box& box) const {
        const Vec3 middle_m = box.middle_m();
        for (const double height_m : {middle_m.z, box.low_m.z, box.high_m.z})
            for (const double east_m : {middle_m.x, box.low_m.x, box.high_m.x})
                if (is_in_frame(alone_.shoot.camera, projection_, {east_m, middle_m.y, height_m}))
                    return true;
        return false;
    }

    bool lights_ground() const {
        const double iso = alone_.settings.iso;
        const double clips_at_stops =
            stops_from_mid_grey(clipping_lxs(alone_.shoot.camera, iso), iso);
        return std::ranges::any_of(film_estimate(alone_), [&](const FilmCell& cell) {
            return cell.is_ground && cell.lamp_share > 0.0 &&
                   cell.stops_over + std::log2(cell.lamp_share) + clips_at_stops > faintest_stops;
        });
    }

    Take take_;
    FlownTake alone_;
    const FlownFlight& flown_;  ///< by itself: it then begins at once, whatever it comes after
    Projection projection_;
};

/// Wholly outside: by design where its lamps light what the picture shows.
void add_unseen(Findings& list, const FlownTake& seen, const FlownFlight& flown,
                std::string_view where) {
    const std::string lights = FlightAlone(seen, flown).lights();
    if (lights.empty())
        list.push_back({"frame", CautionLevel::care,
                        fmt::format("The {} lies wholly {}.", seen.name_of(flown), where),
                        seen.alike(flown, fmt::format("unseen {}", where))});
    else
        list.push_back({"frame", CautionLevel::note,
                        fmt::format("The {} lies {} and draws no trail; it lights {}.",
                                    seen.name_of(flown), where, lights),
                        seen.alike(flown, fmt::format("lights {}", lights))});
}

void add_partly_seen(Findings& list, const FlownTake& seen, const FlownFlight& flown,
                     double share_outside) {
    const FlightAlone alone(seen, flown);
    const std::string outside = fmt::format("The {} is out of the frame for {:.1f} % of its time",
                                            seen.name_of(flown), 100.0 * share_outside);
    if (alone.has_lamps() && alone.hides_outside())
        list.push_back({"frame", CautionLevel::note, outside + "; its lamps draw no trail there.",
                        seen.alike(flown, "hidden", share_outside)});
    else
        list.push_back({"frame", CautionLevel::care,
                        outside + ". Step back, aim anew or take a wider lens.",
                        seen.alike(flown, "cut off", share_outside)});
}

}  // namespace

Findings frame_cautions(const FlownTake& seen) {
    Findings list;
    for (const FlownFlight& flown : seen.flights) {
        const Framing framing =
            frame_flight(seen.shoot.camera, flown.path, seen.settings.shutter_s);
        if (!framing.box)
            add_unseen(list, seen, flown, "behind the camera");
        else if (framing.in_frame <= 0.0)
            add_unseen(list, seen, flown, "outside the frame");
        else if (framing.in_frame < 1.0)
            add_partly_seen(list, seen, flown, 1.0 - framing.in_frame);
    }
    return list;
}

}  // namespace lampflight
