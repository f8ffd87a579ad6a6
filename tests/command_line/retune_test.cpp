#include <doctest/doctest.h>

#include <cmath>
#include <filesystem>

#include "tests/command_line/linear_picture.h"
#include "tests/command_line/program.h"

using namespace lampflight::testing;
namespace fs = std::filesystem;

namespace {

using Words = std::vector<std::string>;

constexpr const char* scene_text = R"(title = "Two lamps at dusk"
[sky]
horizontal_lx = 0.05
[ground]
kind = "flat"
[camera]
pixels = [960, 640]
position_m = [0, -12, 1.5]
look_at_m = [0, 0, 3]
focal_mm = 20
f_number = 8
iso = 400
shutter_s = 8
[[subject]]
name = "rock"
model = "boulder"
[[lamp]]
name = "warm"
gel = { shift_mired = 60, transmission = 0.8 }
[[lamp]]
name = "cold"
flux_lm = 40
temperature_k = 9000
beam_deg = 360
position_m = [2, 1, 0.8]
[[flight]]
name = "halo"
height_m = 6
radius_m = 3
lap_s = 8
carries = ["warm"]
[[take]]
name = "low"
flights = ["halo"]
[[take]]
name = "ground"
shutter_s = 16
)";

/// A scene rendered once with its layers, in full and in half floats.
struct Rendered {
    TemporaryFolder folder;
    std::string scene = (folder / "dusk.toml").string();
    std::string full = (folder / "full.exr").string();
    std::string half = (folder / "half.exr").string();

    Words always;  ///< said to every render

    explicit Rendered(Words words = {}) : always(std::move(words)) {
        write_text(scene, scene_text);
        REQUIRE(render("full.png", {"--layers", full, "--float"}).code == 0);
        REQUIRE(render("half.png", {"--layers", half}).code == 0);
    }

    Finished render(const std::string& picture, Words more = {}) const {
        more.insert(more.begin(), {"render", scene, "-o", (folder / picture).string(), "--quality",
                                   "draft", "--size", "96x64"});
        more.insert(more.end(), always.begin(), always.end());
        return run(more);
    }

    Finished retune(const std::string& layers, const std::string& picture, Words more = {}) const {
        more.insert(more.begin(), {"retune", layers, "-o", (folder / picture).string()});
        return run(more);
    }

    std::string bytes(const std::string& name) const { return read_text(folder / name); }
};

const Rendered& rendered() {
    static const Rendered once;
    return once;
}

/// Without light that bounces: where rays go for it is a matter of all lamps of a picture, so that
/// leaving a lamp out changes the others' noise.
const Rendered& rendered_straight() {
    static const Rendered once({"--bounces", "0"});
    return once;
}

Words set(const Words& changes) {
    Words words;
    for (const std::string& change : changes) {
        words.emplace_back("--set");
        words.push_back(change);
    }
    return words;
}

/// Retuned and rendered with the same changes: the same bytes.
void check_same_bytes(const Words& changes, const Rendered& r = rendered()) {
    CAPTURE(changes.empty() ? "" : changes.front());
    REQUIRE(r.retune(r.full, "retuned.png", set(changes)).code == 0);
    REQUIRE(r.render("fresh.png", set(changes)).code == 0);
    CHECK(r.bytes("retuned.png") == r.bytes("fresh.png"));
    if (!changes.empty()) CHECK(r.bytes("retuned.png") != r.bytes("full.png"));
}

/// Retuned one way and rendered another: within half a code value, and not without effect. Without
/// noise: it counts electrons, and a lux second in the last bit may be one more.
void check_same_light(Words retuned, Words fresh, const Rendered& r = rendered(),
                      double codes = 0.5) {
    retuned.emplace_back("--clean");
    fresh.emplace_back("--clean");
    CAPTURE(retuned[1]);
    REQUIRE(r.render("fresh.exr", fresh).code == 0);
    for (const std::string& layers : {r.full, r.half}) {
        REQUIRE(r.retune(layers, "retuned.exr", retuned).code == 0);
        CHECK(largest_code_difference(r.folder / "retuned.exr", r.folder / "fresh.exr") < codes);
    }
    REQUIRE(r.retune(r.full, "plain.exr", {"--clean"}).code == 0);
    CHECK(largest_code_difference(r.folder / "retuned.exr", r.folder / "plain.exr") > 2.0);
}

}  // namespace

TEST_CASE("retune: with nothing changed, the render's own picture") {
    check_same_bytes({});
    const Rendered& r = rendered();
    CHECK(r.bytes("full.png") == r.bytes("half.png"));
    REQUIRE(r.retune(r.half, "retuned.exr", {"--clean"}).code == 0);
    REQUIRE(r.retune(r.full, "plain.exr", {"--clean"}).code == 0);
    CHECK(largest_code_difference(r.folder / "retuned.exr", r.folder / "plain.exr") < 0.5);
}

TEST_CASE("retune: what acts in development alone gives a fresh render's bytes") {
    for (const Words& changes :
         {Words{"camera.iso=1600"}, Words{"camera.white_balance_k=3200"},
          Words{"photograph.blend=add"}, Words{"photograph.noise_seed=7"},
          Words{"camera.white_balance_duv=0.01"}, Words{"camera.sensor.read_noise_e=20"},
          Words{"photograph.blend=mean", "camera.iso=800"}, Words{"take.ground.iso=3200"}})
        check_same_bytes(changes);
    for (const Words& changes :
         {Words{"photograph.takes=[\"low\"]"}, Words{"photograph.takes=[\"ground\"]"}})
        check_same_bytes(changes, rendered_straight());
}

TEST_CASE("retune: what scales a source's light is within half a code of a fresh render") {
    for (const Words& changes :
         {Words{"camera.f_number=5.6"}, Words{"take.ground.f_number=11"},
          Words{"lamp.warm.flux_lm=5000"}, Words{"lamp.warm.gel.shift_mired=-40"},
          Words{"lamp.warm.gel={ shift_mired = 140, transmission = 0.5 }"},
          Words{"lamp.cold.temperature_k=3000"}, Words{"take.low.lamp_stops={ warm = -2 }"},
          Words{"sky.horizontal_lx=0.1"}, Words{"camera.lens.transmission=0.5"},
          Words{"take.ground.shutter_s=40"},
          Words{"lamp.warm.flux_lm=700", "camera.f_number=4", "camera.iso=200",
                "photograph.blend=add"}})
        check_same_light(set(changes), set(changes));
}

TEST_CASE("retune: lamps by stops, and out") {
    check_same_light({"--lamp", "warm=+1.5"},
                     set({"lamp.warm.flux_lm=" + std::to_string(1500.0 * std::exp2(1.5))}));
    check_same_light({"--lamp", "warm=off"}, set({"lamp.warm.flux_lm=1e-6"}));
    const Words without_cold = set({"take.low.lamps=[]", "lamp.cold.flux_lm=1e-6"});
    const Words low_without = set({"take.low.lamps=[]", "photograph.blend=add"});
    check_same_light({"--lamp", "cold=off"}, without_cold, rendered_straight());
    check_same_light(low_without, low_without, rendered_straight());
    // With what bounces, a draft's noise in the worst pixel of a small picture.
    constexpr double noise = 12.0;
    check_same_light({"--lamp", "cold=off"}, without_cold, rendered(), noise);
    check_same_light(low_without, low_without, rendered(), noise);
}

TEST_CASE("retune: one line about the picture, and none when quiet") {
    const Rendered& r = rendered();
    const Finished finished = r.retune(r.half, "p.png");
    CHECK(finished.out.empty());
    REQUIRE(lines_of(finished.err).size() == 1);
    CHECK(contains(finished.err, "p.png: 96 x 64 pixels"));
    CHECK(r.retune(r.half, "p.png", {"--quiet"}).err.empty());
}

TEST_CASE("retune: another aperture is warned of where sharpness would change visibly") {
    const TemporaryFolder folder;
    const std::string scene = (folder / "s.toml").string();
    write_text(scene, scene_text);
    const std::string layers = (folder / "s.exr").string();
    REQUIRE(run({"render", scene, "-o", (folder / "s.png").string(), "--layers", layers,
                 "--quality", "draft", "--set", "camera.sensor_mm=[3.6, 2.4]", "--set",
                 "camera.focus_m=3", "--size", "96x64"})
                .code == 0);
    const Finished finished =
        run({"retune", layers, "-o", (folder / "p.png").string(), "--set", "camera.f_number=1.4"});
    CHECK(finished.code == 0);
    const auto lines = lines_of(finished.err);
    REQUIRE(lines.size() == 3);  // both takes and the picture
    CHECK(contains(lines[0], "take \"low\" at f/1.4 instead of f/8: the blur circle of "));
    CHECK(contains(lines[0], "the Airy disc "));
    const Finished same =
        run({"retune", layers, "-o", (folder / "p.png").string(), "--set", "camera.f_number=8.1"});
    CHECK(lines_of(same.err).size() == 1);
}

TEST_CASE("retune: what needs a render is refused with its reason") {
    const Rendered& r = rendered();
    const auto refused = [&](const Words& words, int code, const std::string& said) {
        const Finished finished = r.retune(r.half, "refused.png", words);
        CAPTURE(finished.err);
        CHECK(finished.code == code);
        CHECK(lines_of(finished.err).size() == (code == 3 ? 2 : 1));
        CHECK(contains(finished.err, said));
        CHECK_FALSE(fs::exists(r.folder / "refused.png"));
    };
    refused(set({"camera.focal_mm=24"}), 2, "camera.focal_mm can't be retuned: it changes what");
    refused(set({"flight.halo.radius_m=4"}), 2, "render the scene with it instead");
    refused(set({"camera.shutter_s=4"}), 2, "the trail of \"warm\" does not follow it");
    refused(set({"photograph.takes=[\"lows\"]"}), 3, "\"lows\"");
    refused(set({"camera.iso=0"}), 3, "\"iso\"");
    refused(set({"camera.izo=1"}), 2, "camera.izo");
    refused({"--lamp", "wram=1"}, 2, "did you mean \"warm\"?");
    refused({"--lamp", "warm=bright"}, 2, "--lamp warm=+1.5");
    refused({"--lamp", "warm"}, 2, "--lamp can't be \"warm\"");
    refused({"--set", "iso"}, 2, "key=value");
    CHECK(run({"retune"}).code == 2);
    CHECK(run({"retune", r.half}).code == 2);
    CHECK(r.retune(r.half, "p.jpg").code == 2);
}

TEST_CASE("retune: only takes that were rendered can be developed") {
    const Rendered& r = rendered();
    const std::string one = (r.folder / "one.exr").string();
    REQUIRE(r.render("one.png", {"--take", "low", "--layers", one, "--float"}).code == 0);
    REQUIRE(r.retune(one, "again.png").code == 0);
    CHECK(r.bytes("again.png") == r.bytes("one.png"));
    const Finished finished = r.retune(one, "p.png", set({"photograph.takes=[\"ground\"]"}));
    CHECK(finished.code == 2);
    CHECK(contains(finished.err, "take \"ground\" is not in "));
}

TEST_CASE("retune: no scene and no mesh is needed beside the layers") {
    const Rendered& r = rendered();
    const TemporaryFolder elsewhere;
    fs::copy_file(r.full, elsewhere / "l.exr");
    REQUIRE(run({"retune", (elsewhere / "l.exr").string(), "-o", (elsewhere / "p.png").string()})
                .code == 0);
    CHECK(read_text(elsewhere / "p.png") == r.bytes("full.png"));
    CHECK(elsewhere.names() == Words{"l.exr", "p.png"});
}

TEST_CASE("retune: files that are no layers end with 4 and one sentence") {
    const Rendered& r = rendered();
    REQUIRE(r.render("foreign.exr").code == 0);
    const std::string sound = read_text(r.half);
    write_text(r.folder / "half of it.exr", sound.substr(0, sound.size() / 2));
    write_text(r.folder / "empty.exr", "");
    std::string no_scene = sound;
    no_scene.replace(no_scene.find("horizontal_lx"), 13, "horizontal_ly");
    write_text(r.folder / "no scene.exr", no_scene);
    fs::create_directories(r.folder / "folder.exr");
    const std::vector<std::pair<std::string, std::string>> files{
        {"foreign.exr", "of another making"},
        {"full.png", "is a picture (PNG), no file of layers"},
        {"half of it.exr", "it ends too early"},
        {"empty.exr", "it is no OpenEXR file"},
        {"no scene.exr", "its scene can't"},
        {"folder.exr", "it is a folder, in which"},
        {"nowhere.exr", "there is no file of layers"},
    };
    for (const auto& [name, said] : files) {
        CAPTURE(name);
        const Finished finished = r.retune((r.folder / name).string(), "none.png");
        CHECK(finished.code == 4);
        CHECK(lines_of(finished.err).size() == 1);
        CHECK(contains(finished.err, said));
        CHECK_FALSE(fs::exists(r.folder / "none.png"));
    }
}

TEST_CASE("render: layers appear whole or not at all, and need a name of their own") {
    const Rendered& r = rendered();
    CHECK(r.render("p.exr", {"--layers", (r.folder / "p.exr").string()}).code == 2);
    CHECK(r.render("p.png", {"--float"}).code == 2);
    const TemporaryFolder folder;
    CHECK(run({"render", r.scene, "-o", (folder / "p.png").string(), "--layers",
               (folder / "none" / "l.exr").string()})
              .code == 4);
    CHECK(folder.names().empty());
}

TEST_CASE("retune: layers hold the files of paths and figures, and need them no more") {
    const TemporaryFolder folder;
    write_text(folder / "hook.svg", "<svg xmlns='http://www.w3.org/2000/svg'>"
                                    "<path d='M0 0 L10 0 L10 8'/></svg>");
    write_text(folder / "steps.csv", "east_m,north_m,up_m\n-3,0,3\n0,1,5\n3,0,3\n");
    write_text(folder / "drawn.toml", R"([camera]
pixels = [96, 64]
position_m = [0, -14, 1.5]
look_at_m = [0, 0, 4]
iso = 400
[[lamp]]
name = "warm"
[[flight]]
name = "hook"
shape = "figure"
figure = "hook.svg"
width_m = 4
carries = ["warm"]
[[flight]]
name = "steps"
shape = "waypoints"
waypoints = "steps.csv"
after = "hook"
carries = ["warm"]
[[take]]
name = "both"
flights = ["hook", "steps"]
)");
    const std::string layers = (folder / "l.exr").string();
    const std::string first = (folder / "first.png").string();
    const std::string second = (folder / "second.png").string();
    REQUIRE(run({"render", (folder / "drawn.toml").string(), "-o", first, "--quality", "draft",
                 "--layers", layers, "--float"})
                .code == 0);
    for (const char* name : {"hook.svg", "steps.csv", "drawn.toml"}) fs::remove(folder / name);
    const Finished retuned = run({"retune", layers, "-o", second});
    CHECK(retuned.code == 0);
    CHECK(read_text(first) == read_text(second));
    const Finished moved = run({"retune", layers, "-o", second, "--set", "flight.hook.width_m=5"});
    CHECK(moved.code != 0);
    CHECK(contains(moved.err, "it changes where the lamps fly"));
}
