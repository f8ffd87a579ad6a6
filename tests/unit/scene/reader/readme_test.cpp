// README's own scene must read without problems: it is the first thing that a newcomer tries.
#include <doctest/doctest.h>

#include <string>

#include "scene/reader/read_shoot.h"
#include "tests/text_of.h"

using namespace lampflight;

TEST_CASE("the scene in README reads without problems") {
    const std::string text = text_of(LAMPFLIGHT_SOURCE_DIR "/README.md");
    const std::string opening = "```toml\n";
    const std::size_t from = text.find(opening);
    REQUIRE(from != std::string::npos);
    const std::size_t start = from + opening.size();
    const std::string scene = text.substr(start, text.find("```", start) - start);

    const Checked<Shoot> read = read_shoot(scene, "README.md");
    if (const auto* problems = std::get_if<std::vector<Problem>>(&read))
        for (const Problem& problem : *problems) MESSAGE(to_string(problem));
    REQUIRE(std::holds_alternative<Shoot>(read));
    const Shoot& shoot = std::get<Shoot>(read);
    CHECK(shoot.title == "First halo");
    CHECK(shoot.photograph.takes == std::vector<std::string>{"low halo"});
}
