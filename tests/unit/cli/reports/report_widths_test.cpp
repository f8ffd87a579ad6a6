// Every table of every report fits every width: no line is longer than there is room for.
#include <doctest/doctest.h>

#include <array>
#include <sstream>

#include <fmt/format.h>

#include "cli/reports/check_report.h"
#include "cli/reports/meter_report.h"
#include "cli/reports/table.h"
#include "cli/session/picture_size.h"
#include "renderer/develop/photograph.h"
#include "renderer/expose/expose.h"
#include "scene/reader/read_shoot.h"
#include "tests/text_of.h"
#include "tests/unit/cli/reports/faded_dusk.h"

using namespace lampflight;

namespace {

/// Prints a report at every width, each time within it and without spaces at line ends.
template <class Report>
void check_widths(Report report) {
    for (const std::size_t width : {72, 80, 100, 140}) {
        CAPTURE(width);
        const std::string text = report(width);
        CHECK(!text.empty());
        std::istringstream stream(text);
        for (std::string line; std::getline(stream, line);) {
            CAPTURE(line);
            CHECK(length_of(line) <= width);
            CHECK((line.empty() || line.back() != ' '));
        }
    }
}

/// Forty-eight flights, lamps and points, some with long names, over an evening.
std::string crowded_scene() {
    std::string text =
        "title = \"Forty-eight flights over one stone, each with a lamp of its own, to see how the "
        "tables of such a crowd hold together\"\n"
        "place = { latitude_deg = 58.1, longitude_deg = 8.4, when = 2026-10-09T19:20:00+02:00 }\n"
        "ground = { kind = \"flat\" }\n"
        "camera = { position_m = [0, -30, 1.5], look_at_m = [0, 0, 5], shutter_s = 25 }\n";
    std::string flights;
    for (int i = 0; i < 48; ++i) {
        const std::string name =
            i == 7 ? "the longest flight of all, about the stone" : fmt::format("lap {}", i);
        text += fmt::format(
            "[[lamp]]\nname = \"lantern number {0}\"\n"
            "[[flight]]\nname = \"{1}\"\nheight_m = {2}\nlap_s = {3}\n"
            "carries = [\"lantern number {0}\"]\n"
            "[[point]]\nname = \"place {0}\"\nposition_m = [{4}, 0, 0]\n",
            i, name, 6 + i, 20 + i % 9, i % 9);
        flights += fmt::format("{}\"{}\"", i > 0 ? ", " : "", name);
    }
    return text + fmt::format(
                      "[[take]]\nname = \"all of them at once, which nobody should fly\"\n"
                      "flights = [{}]\n[[take]]\nname = \"unbroken{}\"\nflights = [\"lap 1\"]\n",
                      flights, std::string(150, 'x'));
}

PlacedShoot read_scene(const std::string& text) {
    Checked<PlacedShoot> read = read_placed_shoot(text, LAMPFLIGHT_SOURCE_DIR "/scenes/none.toml");
    REQUIRE(std::holds_alternative<PlacedShoot>(read));
    PlacedShoot shoot = std::get<PlacedShoot>(std::move(read));
    set_picture_size(shoot.camera, {48, 32});
    return shoot;
}

void check_reports(const std::string& text) {
    const PlacedShoot shoot = read_scene(text);
    const ShootFigures figures = shoot_figures(shoot);
    const RenderNeed render{Quality::good, {1500, 1000}, 123.4e9, 7200.0};
    check_widths([&](std::size_t width) { return check_text(figures, render, width); });
    const DuskReport dusk = faded_dusk(shoot);
    for (const DuskRows rows : {DuskRows::that_matter, DuskRows::all})
        check_widths([&](std::size_t width) { return dusk_text(dusk, rows, 5, width); });
    const auto takes = expose(shoot, {Quality::draft, 0});
    REQUIRE(takes);
    const MeterReading reading = meter(shoot, *takes);
    check_widths([&](std::size_t width) { return meter_text(shoot, reading, width); });
}

}  // namespace

TEST_CASE("tables of the longest demo fit 72, 80, 100 and 140 columns") {
    check_reports(text_of(LAMPFLIGHT_SOURCE_DIR "/scenes/ruin-sweep.toml"));
}

TEST_CASE("tables of 48 flights with long names fit 72, 80, 100 and 140 columns") {
    check_reports(crowded_scene());
}
