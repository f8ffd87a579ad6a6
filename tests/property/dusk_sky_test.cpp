// What dusk says of sky and ground is what the renderer lays on film at the same moment.
#include <algorithm>
#include <cmath>

#include "renderer/sky/frame_sky.h"
#include "renderer/sky/sky.h"
#include "scene/planning/dusk.h"
#include "scene/shoot/take_moment.h"
#include "tests/film.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

/// Open, level ground in the Alps on 2024-11-13, looking `bearing_deg` and a little up.
PlacedShoot alpine(double bearing_deg) {
    PlacedShoot shoot = dark_shoot({96, 64});
    shoot.place = Place{45.0, 7.0, 0.0, {1731515340.0, 60}};  // 17:29, the sun 4.8 deg down
    shoot.camera.position_m = {0.0, -12.0, 1.5};
    shoot.camera.bearing_deg = bearing_deg;
    shoot.camera.tilt_deg = 12.0;
    shoot.camera.focal_mm = 20.0;
    shoot.camera.shutter_s = 10.0;
    shoot.camera.f_number = 8.0;
    shoot.camera.iso = 400.0;
    return shoot;
}

FrameSky frame_sky(const PlacedShoot& shoot, const DuskSpan& span) {
    return {shoot, span.from_s, span.to_s};
}

Dusk dusk_with(const PlacedShoot& shoot) {
    const DuskSpan span = dusk_span(shoot, shoot.takes.front());
    const FrameSky sky = frame_sky(shoot, span);
    return dusk_of(shoot, shoot.takes.front(), span, [&](double unix_s) {
        return static_cast<double>(luminance(sky.film_cd_m2(unix_s)));
    });
}

const DuskMinute& minute_at(const Dusk& dusk, double unix_s) {
    const auto found =
        std::ranges::find(dusk.minutes, std::floor(unix_s / 60.0) * 60.0, &DuskMinute::unix_s);
    REQUIRE(found != dusk.minutes.end());
    return *found;
}

/// Stops of a layer's mean over the pixels that have some of it.
double mean_stops(const ExposedTake& take, const std::string& layer) {
    const Image film = layer_of(take, layer);
    double sum = 0.0;
    int count = 0;
    for (const glm::vec3& pixel : film.pixels)
        if (const double lxs = luminance_of(pixel); lxs > 0.0) sum += lxs, ++count;
    REQUIRE(count > 0);
    return stops_from_mid_grey(sum / count, take.settings.iso);
}

}  // namespace

TEST_CASE(
    "dusk's sky is the mean of the rendered sky in the frame, towards and off the afterglow") {
    double worst_stops = 0.0;
    for (const double bearing_deg : {250.0, 340.0, 30.0}) {
        PlacedShoot shoot = alpine(bearing_deg);
        const Dusk dusk = dusk_with(shoot);
        // From just after sunset to moonlit night (the moon, 93 % lit, stands in the east).
        for (const double after_min : {-22.0, 0.0, 13.0, 27.0, 41.0, 70.0}) {
            CAPTURE(bearing_deg);
            CAPTURE(after_min);
            PlacedShoot now = shoot;
            now.place->when.unix_s += 60.0 * after_min;
            const ExposedTake film = exposed(now, {Quality::draft, 0});
            const DuskMinute& minute = minute_at(dusk, now.place->when.unix_s);
            const double off_stops = minute.sky_stops - mean_stops(film, "sky.view");
            worst_stops = std::max(worst_stops, std::abs(off_stops));
            CHECK_WITHIN(off_stops, 0.0, 0.1);
        }
    }
    MESSAGE(worst_stops);
}

TEST_CASE("between its domes dusk's sky is what a dome of its own would give") {
    for (const double bearing_deg : {250.0, 30.0}) {
        const PlacedShoot shoot = alpine(bearing_deg);
        const DuskSpan span = dusk_span(shoot, shoot.takes.front());
        const FrameSky sky = frame_sky(shoot, span);
        const FrameView view(shoot.camera);
        double worst_stops = 0.0;
        for (double t = span.from_s + 150.0; t < span.to_s; t += 540.0) {
            const Sky whole_sky(night_sky(shoot, t));
            const float whole = luminance(view.film_cd_m2(whole_sky));
            const float read = luminance(sky.film_cd_m2(t));
            worst_stops =
                std::max(worst_stops, std::abs(std::log2(static_cast<double>(read / whole))));
        }
        CAPTURE(bearing_deg);
        CAPTURE(sky.domes());
        MESSAGE(worst_stops << " " << sky.domes());
        CHECK(worst_stops < 0.03);
        CHECK(sky.domes() < 50);
    }
}
