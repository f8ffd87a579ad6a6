#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include <nlohmann/json.hpp>

#include "tests/command_line/program.h"

using namespace lampflight::testing;
using nlohmann::json;

namespace {

json check_json(const std::vector<std::string>& more) {
    const TemporaryFolder folder;
    std::vector<std::string> arguments{"check", small_scene(folder), "--json"};
    arguments.insert(arguments.end(), more.begin(), more.end());
    const Finished check = run(arguments);
    REQUIRE(check.code == 0);
    CHECK(check.err.empty());
    return json::parse(check.out);
}

}  // namespace

TEST_CASE("check: figures of a circle by hand") {
    const json report = check_json({});
    CHECK(report.at("title") == "Small halo");
    REQUIRE(report.at("takes").size() == 2);
    const json& take = report["takes"][0];
    CHECK(take.at("name") == "low");
    CHECK(take.at("shutter_s") == 10.0);
    CHECK(take.at("f_number") == 8.0);
    CHECK(take.at("iso") == 400.0);
    // EV = log2(N^2 / t), ISO 2720: log2(64 / 10).
    CHECK(take.at("ev").get<double>() == doctest::Approx(2.6780719));
    CHECK(take.at("ev100").get<double>() == doctest::Approx(0.6780719));

    REQUIRE(take.at("flights").size() == 1);
    const json& flight = take["flights"][0];
    const double length_m = 2.0 * M_PI * 3.0;
    const double speed_m_s = length_m / 8.0;
    CHECK(flight.at("name") == "halo");
    CHECK(flight.at("length_m").get<double>() == doctest::Approx(length_m).epsilon(1e-4));
    CHECK(flight.at("lap_s").get<double>() == doctest::Approx(8.0));
    CHECK(flight.at("speed_m_s").get<double>() == doctest::Approx(speed_m_s).epsilon(1e-4));
    CHECK(flight.at("top_speed_m_s").get<double>() == doctest::Approx(speed_m_s).epsilon(1e-3));
    CHECK(flight.at("top_acceleration_m_s2").get<double>() ==
          doctest::Approx(speed_m_s * speed_m_s / 3.0).epsilon(1e-2));
    CHECK(flight.at("airborne_s").get<double>() == doctest::Approx(8.0));
    CHECK(flight.at("in_frame").get<double>() == doctest::Approx(1.0));
    const json& box = flight.at("frame_box");
    REQUIRE(box.size() == 4);
    CHECK(box[0].get<double>() < box[2].get<double>());
    CHECK(box[1].get<double>() < box[3].get<double>());
    // The circle stands in the middle of the frame, left to right.
    CHECK(box[0].get<double>() + box[2].get<double>() == doctest::Approx(1.0).epsilon(1e-3));
}

TEST_CASE(
    "check: a lap that the shutter cuts off leaves a gap, told along the line and in degrees") {
    const json report = check_json({});
    // 7 s of an 8 s lap: 45 degrees short.
    const json& cut = report["takes"][1]["flights"][0];
    CHECK(cut.at("closure_deg").get<double>() == doctest::Approx(-45.0).epsilon(1e-3));
    CHECK(cut.at("closure_m").get<double>() == doctest::Approx(2.3562));  // 3 m x pi / 4
    CHECK(report["takes"][1].at("shutter_s") == 7.0);
    CHECK(cut.at("airborne_s").get<double>() == doctest::Approx(7.0));
    CHECK(cut.at("flown_s").get<double>() == doctest::Approx(8.0));

    const TemporaryFolder folder;
    const Finished table = run({"check", small_scene(folder)});
    CHECK(table.code == 0);
    CHECK(contains(table.out, "gap 2.4 m (45 deg)"));
    CHECK(contains(table.out, " yes "));
    const Finished longer = run({"check", small_scene(folder), "--set", "flight.halo.turns=1.25",
                                 "--set", "camera.shutter_s=10"});
    CHECK(contains(longer.out, "overlap 4.7 m"));
}

TEST_CASE("check: the table says what the figures say") {
    const TemporaryFolder folder;
    const Finished check = run({"check", small_scene(folder)});
    CHECK(check.code == 0);
    CHECK(check.err.empty());
    for (const char* word : {"Small halo", "low", "halo", "f/8", "400", "18.8", "2.36", "100 %"}) {
        CAPTURE(word);
        CHECK(contains(check.out, word));
    }
    // 36 mm at 20 mm: 2 atan(18 / 20) = 83.97 degrees; 24 mm: 61.93.
    CHECK(contains(check.out, "84.0 deg across, 61.9 deg down"));
}

TEST_CASE("check: how the shape is seen, what slowness and a dial make of it, in both forms") {
    const std::vector<std::string> paced{"--set", "flight.halo.radius_m=3.2", "--set",
                                         "take.low.shutter_s=8"};
    const json flight = check_json(paced)["takes"][0]["flights"][0];
    const double flat = flight.at("plane_flattening").get<double>();
    CHECK(flat > 0.0);
    CHECK(flat < 1.0);
    // A whole circle is as flat as its plane.
    CHECK(flight.at("flattening").get<double>() == doctest::Approx(flat).epsilon(1e-4));
    CHECK(flight.at("figure_px").size() == 2);
    CHECK(flight.at("line_px").get<double>() >= 1.0);
    CHECK(flight.at("detail_lines").is_null());
    CHECK(flight.at("legible").is_string());
    CHECK(flight.at("plane_angle_deg").get<double>() > 0.0);
    CHECK(flight.at("closure_3_percent_deg").get<double>() == doctest::Approx(-10.8));
    CHECK(flight.at("closure_3_percent_m").get<double>() ==
          doctest::Approx(0.03 * 2.0 * M_PI * 3.2));
    CHECK(flight.at("closure_5_percent_m").get<double>() ==
          doctest::Approx(0.05 * 2.0 * M_PI * 3.2));
    const json& dial = flight.at("dial");
    // 3.2 m in 8 s are 2.513 m/s; 3 m at 2.5 m/s are a lap of 7.54 s.
    CHECK(dial.at("radius_m") == 3.0);
    CHECK(dial.at("speed_m_s").get<double>() == doctest::Approx(2.5));
    CHECK(dial.at("radius_off_m").get<double>() == doctest::Approx(-0.2));
    CHECK(dial.at("lap_s").get<double>() == doctest::Approx(6.0 * M_PI / 2.5));
    CHECK(dial.at("closure_m").get<double>() == doctest::Approx(20.0 - 6.0 * M_PI));
    CHECK(dial.at("best_speed_m_s").get<double>() == doctest::Approx(2.4));

    const TemporaryFolder folder;
    std::vector<std::string> arguments{"check", small_scene(folder)};
    arguments.insert(arguments.end(), paced.begin(), paced.end());
    const std::string text = run_on_terminal(arguments, 150);
    for (const char* words : {"Shape of", "Flattened", "Dialled", "gap 0.6 m (11 deg)",
                              "gap 1.0 m (18 deg)", "overlap 1.2 m", "2.4  overlap 0.4 m"}) {
        CAPTURE(words);
        CHECK(contains(text, words));
    }
}

TEST_CASE("check: one flight's figures fit a screen, and its cautions another") {
    const TemporaryFolder folder;
    const std::string scene = folder / "halo.toml";
    REQUIRE(run({"start", "halo", "-o", scene}).code == 0);
    const std::string out = run({"check", scene}).out;
    const std::size_t cautions_at = out.find("\nCaution ");
    REQUIRE(cautions_at != std::string::npos);
    CHECK(lines_of(out.substr(0, cautions_at)).size() < 40);
    CHECK(lines_of(out.substr(cautions_at)).size() < 40);
}

TEST_CASE("check: cautions come worst first, in both forms") {
    const json report = check_json({"--set", "flight.halo.height_m=1"});
    const std::vector<std::string> order{"danger", "care", "note"};
    std::ptrdiff_t last = 0;
    REQUIRE(!report.at("cautions").empty());
    for (const json& caution : report["cautions"]) {
        CHECK(!caution.at("about").get<std::string>().empty());
        CHECK(!caution.at("text").get<std::string>().empty());
        const auto level = std::find(order.begin(), order.end(), caution.at("level"));
        REQUIRE(level != order.end());
        CHECK(level - order.begin() >= last);
        last = level - order.begin();
    }
    const TemporaryFolder folder;
    const Finished table = run({"check", small_scene(folder)});
    CHECK(contains(table.out, "What to watch"));
}

TEST_CASE("check: a caution is its about, level and text; alike ones come once, with a count") {
    const json report = check_json({"--set", "flight.halo.height_m=130"});
    std::size_t heights = 0;
    for (const json& caution : report.at("cautions")) {
        CHECK(caution.size() == 3);
        if (caution.at("about") != "height") continue;
        ++heights;
        CHECK(caution.at("level") == "danger");
        CHECK(contains(caution.at("text"), "(and 1 more take alike: "));
    }
    CHECK(heights == 1);
}

TEST_CASE("check: a flight behind the camera has no box, and its JSON says null") {
    const json report = check_json({"--set", "flight.halo.centre_m=[0, -60]"});
    const json& flight = report["takes"][0]["flights"][0];
    CHECK(flight.at("frame_box").is_null());
    CHECK(flight.at("in_frame") == 0.0);
}

TEST_CASE("check: a line has no closure") {
    const TemporaryFolder folder;
    const std::string scene = small_scene(folder);
    std::string text = read_text(scene);
    text.replace(text.find("height_m = 6\nradius_m = 3\n"), 26,
                 "shape = \"line\"\nfrom_m = [-3, 0, 5]\nto_m = [3, 0, 5]\n");
    write_text(scene, text);
    const Finished check = run({"check", scene, "--json"});
    REQUIRE(check.code == 0);
    const json flight = json::parse(check.out)["takes"][0]["flights"][0];
    for (const char* name : {"closure_deg", "closure_3_percent_m", "dial", "plane_angle_deg",
                             "plane_flattening", "legible"}) {
        CAPTURE(name);
        CHECK(flight.at(name).is_null());
    }
    CHECK_FALSE(contains(run({"check", scene}).out, "Shape of"));
    CHECK(contains(run({"check", scene}).out, "open shape"));
}

TEST_CASE("check: how long lamps burn, and a flight within its limits") {
    const json report =
        check_json({"--set", "lamp.warm.pulse.per_minute=60", "--set", "lamp.warm.pulse.on_s=0.25",
                    "--set", "flight.halo.limits.acceleration_m_s2=4"});
    const json& take = report["takes"][0];
    REQUIRE(take.at("lamps").size() == 1);
    const json& lamp = take["lamps"][0];
    CHECK(lamp.at("name") == "warm");
    CHECK(lamp.at("flashes") == 8);  // the flight ends after 8 s of 10
    CHECK(lamp.at("lit_s").get<double>() == doctest::Approx(2.0));
    const json& flight = take["flights"][0];
    CHECK(flight.at("airborne_s").get<double>() == doctest::Approx(8.0));
    CHECK(flight.at("top_speed_m_s").get<double>() > flight.at("speed_m_s").get<double>());
    CHECK(flight.at("top_acceleration_m_s2").get<double>() == doctest::Approx(4.0));

    const json steady = check_json({});
    CHECK(steady["takes"][0]["lamps"][0].at("flashes").is_null());
    CHECK(steady["takes"][0]["lamps"][0].at("lit_s").get<double>() == doctest::Approx(8.0));

    const TemporaryFolder folder;
    const std::string scene = small_scene(folder);
    const Finished beacon = run({"check", scene, "--set", "lamp.warm.pulse.per_minute=600", "--set",
                                 "lamp.warm.pulse.on_s=0.05"});
    CHECK(contains(beacon.out, "Flashes"));
    CHECK(contains(beacon.out, "photosensitive"));
    const Finished hasty =
        run({"check", scene, "--set", "flight.halo.limits.acceleration_m_s2=0.1"});
    CHECK(hasty.code == 3);
    CHECK(contains(hasty.err, "is the shortest"));
}

TEST_CASE("check: a place gives sun, moon and the evening in the scene's own offset") {
    const std::vector<std::string> alps{"--set", "place.latitude_deg=45",
                                        "--set", "place.longitude_deg=7",
                                        "--set", "place.when=2024-11-13T17:29:00+01:00",
                                        "--set", "take.short.after_s=1500"};
    const json report = check_json(alps);
    // astropy 5.2.1; the light is that of sun and moon at these altitudes.
    const json& place = report.at("place");
    CHECK(place.at("sun_altitude_deg").get<double>() == doctest::Approx(-4.7735).epsilon(1e-3));
    CHECK(place.at("sun_bearing_deg").get<double>() == doctest::Approx(248.895).epsilon(1e-4));
    CHECK(place.at("moon_altitude_deg").get<double>() == doctest::Approx(18.872).epsilon(1e-3));
    CHECK(place.at("moon_bearing_deg").get<double>() == doctest::Approx(96.555).epsilon(1e-3));
    CHECK(place.at("moon_lit").get<double>() == doctest::Approx(0.92957).epsilon(1e-3));
    CHECK(place.at("horizontal_lx").get<double>() > 10.0);
    CHECK(place.at("horizontal_lx").get<double>() < 20.0);
    const std::string sunset = place.at("evening").at("sunset");
    CHECK(sunset.substr(0, 16) == "2024-11-13T17:04");
    CHECK(sunset.substr(19) == "+01:00");
    CHECK(place["evening"].at("sun").size() == 6);
    CHECK(place["evening"].at("moonset").is_string());
    const json& later = report.at("takes")[1].at("sky");
    CHECK(later.at("when") == "2024-11-13T17:54:00+01:00");
    CHECK(later.at("horizontal_lx").get<double>() < 0.1 * place["horizontal_lx"].get<double>());

    const TemporaryFolder folder;
    std::vector<std::string> arguments{"check", small_scene(folder)};
    arguments.insert(arguments.end(), alps.begin(), alps.end());
    const std::string text = run(arguments).out;
    for (const char* words :
         {"Sun 4.8 deg below the horizon, bearing 248.9 deg", "Sunset", "17:05",
          "End of civil dusk (sun -6 deg)", "Sun -8 deg", "End of astronomical dusk (sun -18 deg)",
          "clock at +01:00", "Moonset", "93 % lit"}) {
        CAPTURE(words);
        CHECK(contains(text, words));
    }
    CHECK_FALSE(check_json({}).contains("place"));
}

TEST_CASE("check: where the sun does not set it says so") {
    const TemporaryFolder folder;
    const Finished check =
        run({"check", small_scene(folder), "--set", "place.latitude_deg=69.65", "--set",
             "place.longitude_deg=18.96", "--set", "place.when=2026-06-21T22:00:00+02:00"});
    CHECK(check.code == 0);
    CHECK(contains(check.out, "The sun does not set"));
}

TEST_CASE("check: --strict ends with 5 where there is a danger, and tells all the same") {
    const TemporaryFolder folder;
    const std::string scene = small_scene(folder);
    const std::vector<std::string> strict{"check", scene, "--strict"};
    const Finished sound = run(strict);
    CHECK(sound.code == 0);
    CHECK(sound.err.empty());
    CHECK(sound.out == run({"check", scene}).out);
    for (const char* form : {"--quiet", "--json"}) {
        CAPTURE(form);
        const std::vector<std::string> high{"check", scene, form, "--set",
                                            "flight.halo.height_m=130"};
        const Finished told = run(high);
        CHECK(told.code == 0);
        CHECK(told.err.empty());
        std::vector<std::string> strictly = high;
        strictly.push_back("--strict");
        const Finished refused = run(strictly);
        CHECK(refused.code == 5);
        CHECK(refused.out == told.out);
        CHECK(refused.err == "lampflight: 1 danger\n");
    }
    // A broken scene is none.
    CHECK(run({"check", scene, "--strict", "--set", "camera.iso=0"}).code == 3);
    CHECK(contains(run({"check", "--help"}).out, "--strict"));
    CHECK(contains(run({"--help"}).out, "5 when 'check --strict' finds a danger"));
}

TEST_CASE("check: own lights of drones, where they show") {
    CHECK(check_json({}).at("own_lights").empty());
    const TemporaryFolder folder;
    const std::string scene = small_scene(folder);
    write_text(scene, read_text(scene) +
                          "\n[[drone]]\nname = \"scout\"\nown_lights = \"showing\"\n"
                          "beacon = { per_minute = 40, colour = \"green\" }\n");
    const Finished check = run({"check", scene, "--json"});
    REQUIRE(check.code == 0);
    const json report = json::parse(check.out);
    REQUIRE(report.at("own_lights").size() == 4);
    const json& left = report["own_lights"][0];
    CHECK(left.at("name") == "scout left light");
    CHECK(left.at("per_minute").is_null());
    CHECK(left.at("dots_apart_m").is_null());
    const json& beacon = report["own_lights"][3];
    CHECK(beacon.at("name") == "scout beacon");
    // 500 lm all round are 39.8 cd; a flash of 0.05 s looks like a fifth of that.
    CHECK(beacon.at("effective_cd").get<double>() ==
          doctest::Approx(500.0 / (4.0 * 3.14159265) / 5.0));
    CHECK(beacon.at("seen_from_m").get<double>() > 4000.0);
    const double speed_m_s = report["takes"][0]["flights"][0].at("speed_m_s").get<double>();
    CHECK(beacon.at("dots_apart_m")[0].get<double>() == doctest::Approx(1.5 * speed_m_s));
    const std::string text = run({"check", scene}).out;
    CHECK(contains(text, "Own light"));
    CHECK(contains(text, "Dots apart m"));
}

TEST_CASE("check: the plan is written beside the same figures") {
    const TemporaryFolder folder;
    const std::string scene = small_scene(folder);
    const std::string plan = folder / "my plan.SVG";
    const Finished finished =
        run({"check", scene, "-o", plan, "--set", "title=Stone & <script>alert(\"x\")</script>"});
    CAPTURE(finished.err);
    REQUIRE(finished.code == 0);
    CHECK(contains(finished.err, "my plan.SVG is written"));
    const Finished alone =
        run({"check", scene, "--set", "title=Stone & <script>alert(\"x\")</script>"});
    CHECK(finished.out == alone.out);
    const std::string page = read_text(plan);
    CHECK(page.rfind("<?xml", 0) == 0);
    CHECK(page.substr(page.size() - 7) == "</svg>\n");
    CHECK(contains(page, "Stone &amp; &lt;script&gt;"));
    for (const char* banned : {"<script", "href", "nan", "inf"}) CHECK(!contains(page, banned));
    for (const char* words :
         {"Where you stand", "Where it starts", "How high", "Which way round", "Nearest person",
          "on A4", "the scene's north", "neither rules nor airspace"}) {
        CAPTURE(words);
        CHECK(contains(page, words));
    }
}

TEST_CASE("check: names that no plan can have get one clear error, and nothing is written") {
    const TemporaryFolder folder;
    const std::string scene = small_scene(folder);
    const auto before = folder.names();
    struct Row {
        std::string name;
        int code;
        const char* words;
    };
    for (const Row& row : {Row{folder / "plan.pdf", 2, "end its name in .svg"},
                           Row{folder / "plan", 2, "end its name in .svg"},
                           Row{folder / "none/plan.svg", 4, "there is no folder"}}) {
        CAPTURE(row.name);
        const Finished finished = run({"check", scene, "-o", row.name});
        CHECK(finished.code == row.code);
        CHECK(finished.out.empty());
        CHECK(contains(finished.err, row.words));
        CHECK(lines_of(finished.err).size() == 1);
    }
    CHECK(folder.names() == before);
}
