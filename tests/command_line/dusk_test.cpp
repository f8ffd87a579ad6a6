#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <filesystem>

#include <nlohmann/json.hpp>

#include "tests/command_line/program.h"

using namespace lampflight::testing;
using nlohmann::json;

namespace {

std::vector<std::string> joined(std::vector<std::string> words,
                                const std::vector<std::string>& more) {
    words.insert(words.end(), more.begin(), more.end());
    return words;
}

/// An alpine evening in November over the small scene.
std::vector<std::string> alpine(const std::string& scene) {
    return {"dusk",  scene,
            "--set", "place.latitude_deg=45",
            "--set", "place.longitude_deg=7",
            "--set", "place.when=2024-11-13T17:29:00+01:00"};
}

Finished dusk(const std::vector<std::string>& more) {
    const TemporaryFolder folder;
    return run(joined(alpine(small_scene(folder)), more));
}

/// Of the alpine evening as it is, which several tests hold others against.
const json& usual_report() {
    static const json report = json::parse(dusk({"--json"}).out);
    return report;
}

/// No number that JSON can't hold, which is written as null, but where a window has no end.
void check_finite(const json& value, const std::string& name) {
    CAPTURE(name);
    if (value.is_null()) CHECK((name == "to" || name == "window"));
    if (value.is_number()) CHECK(std::isfinite(value.get<double>()));
    if (value.is_object())
        for (const auto& [key, part] : value.items()) check_finite(part, key);
    if (value.is_array())
        for (const json& part : value) check_finite(part, name);
}

}  // namespace

TEST_CASE("dusk: the table and the JSON tell the same evening") {
    const Finished table = dusk({"--every", "1"});
    CHECK(table.code == 0);
    CHECK(table.err.empty());
    for (const char* words :
         {"10 s at f/8, ISO 400", "within half a stop of -1.5 from 17:", "mean of the frame",
          "square metre", "Stars in the middle", "Ground stops", "Lit ground stops",
          "17:29 take low", "sunset", "end of civil dusk"}) {
        CAPTURE(words);
        CHECK(contains(table.out, words));
    }
    const json& report = usual_report();
    CHECK(report.at("want_stops") == -1.5);
    CHECK(report.at("shutter_s") == 10.0);
    const auto lines = lines_of(table.out);
    const auto rows = std::count_if(lines.begin(), lines.end(), [](const std::string& line) {
        return line.size() > 8 && line[2] == ':' && line[5] == ' ';
    });
    CHECK(static_cast<std::size_t>(rows) == report.at("minutes").size());
    const std::string from = report.at("window").at("from");
    CHECK(from.substr(0, 14) == "2024-11-13T17:");
    CHECK(report.at("windows").at(0) == report.at("window"));
    for (const json& minute : report["minutes"])
        if (minute.at("at") == "2024-11-13T17:29:00+01:00") {
            // astropy 5.2.1.
            CHECK(minute.at("sun_altitude_deg").get<double>() == doctest::Approx(-4.7735));
            CHECK(minute.at("moon_altitude_deg").get<double>() ==
                  doctest::Approx(18.872).epsilon(1e-3));
            CHECK(minute.at("sky_stops") == report.at("takes").at(0).at("sky_stops"));
        }
}

TEST_CASE("dusk: every figure is a number, on an evening and where there is none") {
    check_finite(usual_report(), "");
    for (const std::vector<std::string>& change :
         {std::vector<std::string>{"--set", "place.latitude_deg=69.65", "--set",
                                   "place.when=2026-12-21T12:00:00+01:00"},
          {"--set", "place.latitude_deg=-90"},
          {"--set", "camera.look_at_m=[0, 0, -500]"},
          {"--set", "camera.look_at_m=[0, -14, 500]"},
          {"--set", "sky.cloud_share=1", "--set", "sky.want_stops=10"}}) {
        const Finished finished = dusk(joined({"--json"}, change));
        CAPTURE(finished.err);
        REQUIRE(finished.code == 0);
        const json report = json::parse(finished.out);
        REQUIRE(!report.at("minutes").empty());
        check_finite(report, "");
    }
}

TEST_CASE("dusk: another wanted sky, another window") {
    const json& usual = usual_report();
    const json darker = json::parse(dusk({"--json", "--set", "sky.want_stops=-3"}).out);
    CHECK(darker.at("window").at("from") > usual.at("window").at("from"));
    const Finished never = dusk({"--set", "camera.shutter_s=0.0001", "--set", "sky.want_stops=10"});
    CHECK(contains(never.out, "The sky is never within half a stop of +10.0"));
    CHECK(contains(never.out, "stops too dark"));
}

TEST_CASE("dusk: after_s moves a take on, and --take tells of it") {
    const json& usual = usual_report();
    const std::string name = usual.at("take");
    const std::string after = "take." + name + ".after_s=600";
    const json moved = json::parse(dusk({"--json", "--set", after, "--take", name}).out);
    CHECK(moved.at("takes").at(0).at("at") == "2024-11-13T17:39:00+01:00");
    CHECK(moved.at("takes").at(0).at("sky_stops").get<double>() <
          usual.at("takes").at(0).at("sky_stops").get<double>() - 1.0);
    CHECK(moved.at("minutes") == usual.at("minutes"));
    const Finished none = dusk({"--take", "nobody"});
    CHECK(none.code == 2);
    CHECK(none.out.empty());
    CHECK(contains(none.err, "there is no take \"nobody\""));
}

TEST_CASE("dusk: a scene without a place is told what it lacks") {
    const TemporaryFolder folder;
    const Finished finished = run({"dusk", small_scene(folder)});
    CHECK(finished.code == 3);
    CHECK(finished.out.empty());
    CHECK(contains(finished.err, "no [place]"));
}

TEST_CASE("dusk: the plot is a whole page of SVG, with the title made safe") {
    const TemporaryFolder folder;
    const std::string scene = small_scene(folder);
    const std::string plot = folder / "my dusk.SVG";
    const Finished finished = run(joined(
        alpine(scene), {"-o", plot, "--set", "title=Stone & <script>alert(\"x\")</script> ü"}));
    CAPTURE(finished.err);
    REQUIRE(finished.code == 0);
    CHECK(contains(finished.err, "my dusk.SVG is written"));
    CHECK(contains(finished.out, "within half a stop"));
    CHECK(!contains(finished.out, "Stars px"));  // the plot has the minutes
    const std::string page = read_text(plot);
    CHECK(page.rfind("<?xml", 0) == 0);
    CHECK(page.substr(page.size() - 7) == "</svg>\n");
    CHECK(contains(page, "Stone &amp; &lt;script&gt;"));
    CHECK(!contains(page, "<script"));
    CHECK(!contains(page, "href"));
    CHECK(!contains(page, "nan"));
    CHECK(!contains(page, "inf"));
    for (const char* words :
         {"sunset", "end of nautical dusk", "sky as wanted", "mid-grey", "17:29"}) {
        CAPTURE(words);
        CHECK(contains(page, words));
    }
    CHECK(folder.names() == std::vector<std::string>{
                                "my dusk.SVG", std::filesystem::path(scene).filename().string()});
}

TEST_CASE("dusk: names that no plot can have get one clear error, and nothing is written") {
    const TemporaryFolder folder;
    const std::string scene = small_scene(folder);
    const auto before = folder.names();
    struct Row {
        std::string name;
        int code;
        const char* words;
    };
    std::filesystem::create_directory(folder / "folder.svg");
    for (const Row& row : {Row{folder / "dusk.pdf", 2, "end its name in .svg"},
                           Row{folder / "dusk", 2, "end its name in .svg"},
                           Row{folder / ".svg", 2, "end its name in .svg"},
                           Row{folder / "none/dusk.svg", 4, "there is no folder"},
                           Row{folder / "folder.svg", 4, "not a plain file"},
                           Row{"/dev/null", 2, "end its name in .svg"},
                           Row{folder / std::string(300, 'a').append(".svg"), 4, "can't write"}}) {
        CAPTURE(row.name);
        const Finished finished = run(joined(alpine(scene), {"-o", row.name}));
        CHECK(finished.code == row.code);
        CHECK(finished.out.empty());
        CHECK(contains(finished.err, row.words));
        CHECK(lines_of(finished.err).size() == 1);
    }
    std::filesystem::remove(folder / "folder.svg");
    CHECK(folder.names() == before);
}
