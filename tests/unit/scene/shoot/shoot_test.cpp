#include "scene/shoot/shoot.h"

#include <doctest/doctest.h>

using namespace lampflight;

TEST_CASE("a take's own settings stand in the camera's place") {
    Shoot shoot;
    shoot.camera.shutter_s = 12.0;
    Take take;
    take.iso = 800.0;
    const ExposureSettings settings = settings_of(shoot, take);
    CHECK(settings.iso == 800.0);
    CHECK(settings.shutter_s == 12.0);
    CHECK(settings.f_number == shoot.camera.f_number);
    take.shutter_s = 25.0;
    take.f_number = 4.0;
    CHECK(settings_of(shoot, take).shutter_s == 25.0);
    CHECK(settings_of(shoot, take).f_number == 4.0);
}
