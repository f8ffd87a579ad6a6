#include "renderer/expose/memory_need.h"

#include <doctest/doctest.h>

#include <cmath>
#include <string>
#include <variant>

#include "renderer/expose/frame_shares.h"
#include "renderer/expose/trail_reach.h"
#include "renderer/lens/diffraction.h"
#include "scene/reader/read_shoot.h"
#include "scene/shoot/lit_lamp.h"

namespace lampflight {
namespace {

constexpr const char* plain =
    "[ground]\nkind = \"flat\"\n"
    "[camera]\nposition_m = [0, -16, 1.4]\nlook_at_m = [0, 0, 1.4]\npixels = [3000, 2000]\n"
    "focal_mm = 20\nf_number = 8\nfocus_m = 16\n"
    "[[lamp]]\nname = \"warm\"\nflux_lm = 300\n"
    "[[flight]]\nname = \"ring\"\nshape = \"ring\"\ncentre_m = [0, 0]\nheight_m = 4\n"
    "radius_m = 3\nfacing_deg = 180\ncarries = [\"warm\"]\n"
    "[[take]]\nname = \"one\"\nflights = [\"ring\"]\n"
    "[[take]]\nname = \"two\"\nflights = [\"ring\"]\n";

PlacedShoot shoot_from(const std::string& text) {
    Checked<PlacedShoot> read = read_placed_shoot(text, LAMPFLIGHT_SOURCE_DIR "/scenes/none.toml");
    REQUIRE(std::holds_alternative<PlacedShoot>(read));
    return std::get<PlacedShoot>(std::move(read));
}

MemoryNeed need_of(const PlacedShoot& shoot, const std::vector<std::string>& takes) {
    return memory_need(shoot, {Quality::draft, 1}, takes, {3.0, 9.5}, {50e6, 2});
}

}  // namespace

TEST_CASE("a level camera over flat ground sees ground in half its rows and sky in the other") {
    const FrameShares shares = frame_shares(shoot_from(plain), 8.0);
    CHECK(shares.surfaces >= 0.5);
    CHECK(shares.surfaces < 0.55);
    CHECK(shares.sky >= 0.5);
    CHECK(shares.sky < 0.55);
}

TEST_CASE("a second take's lamp adds a film of the surfaces, and its sky none") {
    const PlacedShoot shoot = shoot_from(plain);
    const double frame_bytes = 12.0 * 3000.0 * 2000.0;
    const double more = need_of(shoot, {"one", "two"}).films - need_of(shoot, {"one"}).films;
    CHECK(more >= 0.5 * frame_bytes);
    CHECK(more < 0.6 * frame_bytes);
    CHECK(need_of(shoot, {"one", "two"}).kept >= 2.0 * frame_bytes);  // two lamps, two of the sky
}

TEST_CASE("bounces cost memory, and the peak is that of the dearest stretch") {
    const PlacedShoot shoot = shoot_from(plain);
    const MemoryNeed need = need_of(shoot, {"one"});
    CHECK(memory_need(shoot, {Quality::draft, 0}, {"one"}, {3.0, 9.5}, {50e6, 2}).bounces == 0.0);
    CHECK(need.bounces > 0.0);
    CHECK(need.peak() == std::max(need.exposing(), need.developing()));
    const MemoryNeed wide =
        memory_need(shoot, {Quality::draft, 1}, {"one"}, {12.0, 300.0}, {50e6, 2});
    CHECK(wide.peak() == wide.developing());
}

TEST_CASE("threads bring room of their own") {
    const PlacedShoot shoot = shoot_from(plain);
    const auto with = [&](int threads) {
        return memory_need(shoot, {}, {"one"}, {3.0, 9.5}, {50e6, threads}).threads;
    };
    CHECK(with(8) == doctest::Approx(4.0 * with(2)));
}

TEST_CASE("a ring's trail reaches as many pixels as its circle is long and wide") {
    const PlacedShoot shoot = shoot_from(plain);
    const auto lit = lit_lamps(shoot, *find_named(shoot.takes, "one"));
    const double reached = reached_pixels(shoot.camera, 8.0, lit.front());
    // 3 m at 16 m by 20 mm on pixels of 0.012 mm.
    const double circle_px = 2.0 * std::acos(-1.0) * 3.0 / 16.0 * 20.0 / 0.012;
    CHECK(reached > 3.0 * circle_px);
    CHECK(reached < 20.0 * circle_px);
}

TEST_CASE("kernels of pixels far from square stay as small as the picture") {
    Camera camera;
    const KernelRadii square = kernel_radii(camera, 8.0);
    CHECK(square.near < 20);
    camera.sensor_mm = {300.0, 1.0};
    camera.pixels = {960, 640};
    const KernelRadii oblong = kernel_radii(camera, 8.0);
    CHECK(oblong.near < 30);
    CHECK(oblong.mid < 60);
    CHECK(oblong.far <= 240);
}

TEST_CASE("time goes up with pixels and quality") {
    const PlacedShoot shoot = shoot_from(plain);
    const double draft = seconds_needed(shoot, {Quality::draft, 1}, {"one"}, 2);
    const double fine = seconds_needed(shoot, {Quality::fine, 1}, {"one"}, 2);
    CHECK(draft > 0.0);
    CHECK(fine > 3.0 * draft);
}

}  // namespace lampflight
