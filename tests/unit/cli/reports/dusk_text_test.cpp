#include <doctest/doctest.h>

#include <sstream>

#include <fmt/format.h>

#include "scene/reader/read_shoot.h"
#include "tests/unit/cli/reports/faded_dusk.h"

using namespace lampflight;

namespace {

DuskReport evening_at(double latitude_deg, const std::string& when) {
    const std::string text = fmt::format(
        "place = {{ latitude_deg = {}, longitude_deg = 7, when = {} }}\n"
        "camera = {{ position_m = [0, -12, 1.5], look_at_m = [0, 0, 3] }}\n"
        "[[take]]\nname = \"stars\"\n",
        latitude_deg, when);
    Checked<PlacedShoot> read = read_placed_shoot(text, "evening.toml");
    REQUIRE(std::holds_alternative<PlacedShoot>(read));
    return faded_dusk(std::get<PlacedShoot>(read));
}

std::vector<std::string> rows_of(const DuskReport& report, DuskRows rows, int every_min) {
    std::istringstream stream(dusk_text(report, rows, every_min, 100));
    std::vector<std::string> found;
    for (std::string line; std::getline(stream, line);)
        if (line.size() > 8 && line[2] == ':' && line[5] == ' ') found.push_back(line);
    return found;
}

}  // namespace

TEST_CASE(
    "dusk tells every fifth minute of the hours that matter, or others of the whole evening") {
    const DuskReport report = evening_at(45.0, "2024-11-13T17:29:00+01:00");
    const auto usual = rows_of(report, DuskRows::that_matter, 5);
    REQUIRE(usual.size() > 10);
    for (const std::string& row : usual) CHECK((row[4] == '0' || row[4] == '5'));
    CHECK(usual.front().substr(0, 5) == "16:55");  // sunset is at 17:05
    CHECK(usual.back().substr(0, 5) == "18:20");   // the sun is 12 deg down at 18:12
    const auto quarters = rows_of(report, DuskRows::all, 15);
    for (const std::string& row : quarters) CHECK(std::stoi(row.substr(3, 2)) % 15 == 0);
    CHECK(rows_of(report, DuskRows::all, 1).size() == report.dusk.minutes.size());
    CHECK(rows_of(report, DuskRows::none, 5).empty());
}

TEST_CASE("dusk has words for a sun that does not set, rise or go right down") {
    const auto told = [](double latitude_deg, const std::string& when) {
        std::string text;
        for (const std::string& sentence : dusk_sentences(evening_at(latitude_deg, when)))
            text += sentence + "\n";
        return text;
    };
    const auto holds = [](const std::string& text, const char* words) {
        return text.find(words) != std::string::npos;
    };
    CHECK(holds(told(69.65, "2026-06-21T23:00:00+02:00"), "The sun does not set"));
    CHECK(holds(told(69.65, "2026-12-21T12:00:00+01:00"), "The sun does not rise"));
    CHECK(holds(told(60.0, "2026-06-21T23:00:00+02:00"), "The sun goes no lower than -6."));
    const DuskReport morning = evening_at(45.0, "2026-11-14T06:40:00+01:00");
    const std::string text = dusk_text(morning, DuskRows::all, 5, 140);
    CHECK(holds(text, "sunrise"));
    CHECK(holds(text, "start of civil dawn"));
}
