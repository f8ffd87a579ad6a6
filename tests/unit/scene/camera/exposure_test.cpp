#include "scene/camera/exposure.h"

#include <cmath>

#include "tests/within.h"

using namespace lampflight;

TEST_CASE("doubling light, time or ISO is a stop; f-number goes by its square") {
    const ExposureSettings settings{.shutter_s = 15.0, .f_number = 8.0, .iso = 400.0};
    ExposureSettings longer = settings;
    longer.shutter_s = 30.0;
    ExposureSettings wider = settings;
    wider.f_number = 4.0;
    const double exposure_lxs =
        focal_plane_exposure_lxs(0.65 * 0.3, settings.shutter_s, settings.f_number);
    CHECK_RELATIVE(focal_plane_exposure_lxs(0.65 * 0.6, settings.shutter_s, settings.f_number),
                   2.0 * exposure_lxs, 1e-12);
    CHECK_RELATIVE(focal_plane_exposure_lxs(0.65 * 0.3, longer.shutter_s, longer.f_number),
                   2.0 * exposure_lxs, 1e-12);
    CHECK_RELATIVE(focal_plane_exposure_lxs(0.65 * 0.3, wider.shutter_s, wider.f_number),
                   4.0 * exposure_lxs, 1e-12);
    CHECK_WITHIN(stops_from_mid_grey(exposure_lxs, 800.0),
                 stops_from_mid_grey(exposure_lxs, 400.0) + 1.0, 1e-12);
    CHECK_WITHIN(exposure_value(longer), exposure_value(settings) - 1.0, 1e-12);
    CHECK_WITHIN(exposure_value(wider), exposure_value(settings) - 2.0, 1e-12);
    CHECK_WITHIN(ev100(settings), exposure_value(settings) - 2.0, 1e-12);
}

TEST_CASE("mid-grey is zero stops and no light is minus infinity") {
    CHECK_WITHIN(stops_from_mid_grey(mid_grey_lxs(1600.0), 1600.0), 0.0, 1e-12);
    CHECK_WITHIN(stops_from_mid_grey(0.5 * mid_grey_lxs(64.0), 64.0), -1.0, 1e-12);
    const double no_light = stops_from_mid_grey(0.0, 100.0);
    CHECK(std::isinf(no_light));
    CHECK(no_light < 0.0);
    CHECK(stops_from_mid_grey(-1e-9, 100.0) == no_light);
}
