// No scene that the reader takes may upset what follows: scenes drawn by lot, read, checked,
// exposed and developed.
#include <doctest/doctest.h>

#include <algorithm>
#include <cctype>
#include <cmath>
#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "cli/reports/check_report.h"
#include "cli/session/picture_size.h"
#include "renderer/develop/photograph.h"
#include "renderer/expose/expose.h"
#include "scene/planning/shoot_figures.h"
#include "scene/reader/read_shoot.h"
#include "tests/drawn_scene.h"

using namespace lampflight;

namespace {

/// What the reader takes of a drawn scene, what it refuses struck out; nothing where no scene is
/// left of it.
std::optional<PlacedShoot> taken_of(std::string& text) {
    const auto file = std::filesystem::path(LAMPFLIGHT_SOURCE_DIR) / "scenes" / "drawn.toml";
    for (int round = 0; round < 8; ++round) {
        auto read = read_placed_shoot(text, file);
        if (auto* shoot = std::get_if<PlacedShoot>(&read)) return std::move(*shoot);
        std::vector<int> refused;
        for (const Problem& problem : std::get<std::vector<Problem>>(read)) {
            CHECK_MESSAGE(problem.line > 0, to_string(problem));
            CHECK(!problem.text.empty());
            refused.push_back(problem.line);
        }
        const std::string rest = without_lines(text, refused);
        if (rest == text) return std::nullopt;
        text = rest;
    }
    return std::nullopt;
}

/// Words that fmt writes for numbers which are none.
bool tells_of_no_number(const std::string& report) {
    const auto is_letter = [&](std::size_t place) {
        return place < report.size() &&
               std::isalnum(static_cast<unsigned char>(report[place])) != 0;
    };
    for (const std::string word : {"nan", "inf"})
        for (std::size_t at = report.find(word); at != std::string::npos;
             at = report.find(word, at + 1))
            if (!(at > 0 && is_letter(at - 1)) && !is_letter(at + word.size())) return true;
    return false;
}

void check_finite(const PlacedShoot& shoot) {
    const ShootFigures figures = shoot_figures(shoot);
    const RenderNeed render{Quality::draft, shoot.camera.pixels, 1e8, 1.0};
    CHECK_FALSE(tells_of_no_number(check_text(figures, render, 72)));
    CHECK(!check_json(figures, render).empty());
    const auto takes = expose(shoot, {.quality = Quality::draft, .bounces = 1});
    REQUIRE(takes.has_value());
    for (const Noise noise : {Noise::left_out, Noise::counted}) {
        const Image picture = photograph(shoot, *takes, noise);
        CHECK(std::ranges::all_of(picture.pixels, [](const glm::vec3& pixel) {
            return std::isfinite(pixel.x) && std::isfinite(pixel.y) && std::isfinite(pixel.z);
        }));
    }
}

}  // namespace

// tests/long has thousands more, in processes of their own.
TEST_CASE("drawn scenes: read or refused with a line, their figures and pictures finite") {
    int rendered = 0;
    for (std::uint64_t seed = 0; seed < 60; ++seed) {
        std::string text = drawn_scene(seed);
        CAPTURE(seed);
        CAPTURE(text);
        if (auto shoot = taken_of(text)) {
            set_picture_size(shoot->camera, scaled_size(shoot->camera.pixels, 48));
            check_finite(*shoot);
            ++rendered;
        }
    }
    // Else the lots were drawn so badly that nothing is tested.
    CHECK(rendered >= 20);
}
