// Every kind of caution has a scene that raises it and one that does not.
#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <string>
#include <variant>
#include <vector>

#include "scene/basics/problem.h"
#include "scene/reader/read_shoot.h"
#include "tests/cautions/caution_sites.h"
#include "tests/cautions/rows.h"
#include "tests/text_of.h"

using namespace lampflight;
using namespace lampflight::testing;
namespace fs = std::filesystem;

namespace {

const fs::path root = LAMPFLIGHT_SOURCE_DIR;

Checked<PlacedShoot> shoot_of(const fs::path& file, const Changes& changes) {
    std::vector<Override> overrides;
    for (const std::string& change : changes) {
        const std::size_t equals = change.find('=');
        REQUIRE(equals != std::string::npos);
        const std::string key = change.substr(0, equals);
        // A key that is told twice takes its later value.
        std::erase_if(overrides, [&](const Override& earlier) { return earlier.key == key; });
        overrides.push_back({key, change.substr(equals + 1)});
    }
    return read_placed_shoot(text_of(file), file, overrides);
}

std::vector<Caution> cautions_of(const fs::path& file, const Changes& changes) {
    const auto read = shoot_of(file, changes);
    if (const auto* problems = std::get_if<std::vector<Problem>>(&read)) {
        for (const Problem& problem : *problems) FAIL_CHECK(to_string(problem));
        return {};
    }
    return cautions(std::get<PlacedShoot>(read));
}

struct Raised {
    const CautionRow* row;
    std::vector<Caution> cautions;
};

/// What each row's scene raises, worked out once.
const std::vector<Raised>& all_raised() {
    static const std::vector<Raised> list = [] {
        std::vector<Raised> raised;
        for (const CautionRow& row : caution_rows())
            raised.push_back(
                {&row, cautions_of(root / "tests/cautions" / (row.scene + ".toml"), row.raised)});
        return raised;
    }();
    return list;
}

bool is_of(const CautionRow& row, const Caution& caution) {
    return caution.about == row.about && caution.level == row.level &&
           caution.text.find(row.words) != std::string::npos;
}

bool has(const std::vector<Caution>& list, const CautionRow& row) {
    return std::ranges::any_of(list, [&](const Caution& caution) { return is_of(row, caution); });
}

std::string all_texts(const std::vector<Caution>& list) {
    std::string text;
    for (const Caution& caution : list) text += "\n" + caution.about + ": " + caution.text;
    return text;
}

/// Those that are given to users.
std::vector<fs::path> demo_scenes() {
    std::vector<fs::path> files;
    for (const char* folder : {"scenes", "scenes/start"})
        for (const auto& entry : fs::directory_iterator(root / folder))
            if (entry.path().extension() == ".toml") files.push_back(entry.path());
    std::ranges::sort(files);
    return files;
}

}  // namespace

TEST_CASE("cautions: each kind has a scene that raises it and one that does not") {
    for (const Raised& raised : all_raised()) {
        const CautionRow& row = *raised.row;
        CAPTURE(row.about);
        CAPTURE(row.words);
        CHECK_MESSAGE(has(raised.cautions, row), all_texts(raised.cautions));
        const auto calm =
            cautions_of(root / "tests/cautions" / (row.calm_scene + ".toml"), row.calm);
        CHECK_MESSAGE(!has(calm, row), all_texts(calm));
    }
}

TEST_CASE("cautions: a calm scene raises those that hold for every flight and no others") {
    std::vector<std::string> abouts;
    for (const Caution& caution : cautions_of(root / "tests/cautions/calm.toml", {}))
        abouts.push_back(caution.about);
    CHECK(abouts ==
          std::vector<std::string>{"night", "airspace", "sight", "load", "battery", "eyes"});
    CHECK(cautions_of(root / "tests/cautions/grounded.toml", {}).empty());
}

TEST_CASE("cautions: no kind in the sources lacks a row") {
    std::vector<Caution> of_rows;
    for (const Raised& raised : all_raised())
        for (const Caution& caution : raised.cautions)
            if (is_of(*raised.row, caution)) of_rows.push_back(caution);
    const std::vector<CautionSite> sites = caution_sites(root / "scene/cautions");
    CHECK(sites.size() > 60);
    for (const CautionSite& site : sites) {
        CAPTURE(site.file);
        CAPTURE(site.about);
        CAPTURE(site.words);
        const bool has_row = std::ranges::any_of(of_rows, [&](const Caution& caution) {
            return (site.about.empty() || caution.about == site.about) &&
                   caution.level == site.level &&
                   caution.text.find(site.words) != std::string::npos;
        });
        CHECK_MESSAGE(has_row, "tests/cautions/rows.cpp has no scene that raises this");
    }
}

TEST_CASE("cautions: what they are about stands in the list of cautions.h") {
    const std::string header = text_of(root / "scene/cautions/cautions.h");
    for (const Raised& raised : all_raised())
        for (const Caution& caution : raised.cautions)
            CHECK_MESSAGE(header.find('"' + caution.about + '"') != std::string::npos,
                          caution.about);
}

// A word for it would be taken for a promise, which nothing here can make.
TEST_CASE("cautions: no text calls a flight safe, legal or allowed; the demos raise no danger") {
    REQUIRE(promise_in("This flight is safe.") == "safe");
    REQUIRE(promise_in("It is Legally flown").empty() == false);
    REQUIRE(promise_in("may not be lawful here; look up what rules ask").empty());
    REQUIRE(promise_in("Keep it unsafe-looking").empty());
    for (const Raised& raised : all_raised())
        for (const Caution& caution : raised.cautions)
            CHECK_MESSAGE(promise_in(caution.text).empty(), caution.text);
    for (const fs::path& scene : demo_scenes())
        for (const Caution& caution : cautions_of(scene, {})) {
            CHECK_MESSAGE(promise_in(caution.text).empty(), caution.text);
            CHECK_MESSAGE(caution.level != CautionLevel::danger, scene.string(), caution.text);
        }
    // Those that no row raises, and all else that `check` writes.
    for (const char* folder : {"scene/cautions", "cli/reports"})
        for (const auto& entry : fs::directory_iterator(root / folder))
            for (const std::string& literal : literals_of(text_of(entry.path())))
                CHECK_MESSAGE(promise_in(literal).empty(), entry.path().string(), ": ", literal);
    for (const std::string& literal : literals_of(text_of(root / "cli/commands/check.cpp")))
        CHECK_MESSAGE(promise_in(literal).empty(), literal);
}
