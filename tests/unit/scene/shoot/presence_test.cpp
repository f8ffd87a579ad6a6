#include "scene/shoot/presence.h"

#include <doctest/doctest.h>

using namespace lampflight;

namespace {

/// Two subjects, and a take of 12 s that calls for both.
Shoot cairn_and_walker() {
    Shoot shoot;
    shoot.camera.shutter_s = 12.0;
    shoot.subjects.resize(2);
    shoot.subjects[0].name = "cairn";
    shoot.subjects[1].name = "walker";
    shoot.takes.resize(1);
    return shoot;
}

}  // namespace

TEST_CASE("presences: who stands there with whom, and when") {
    Shoot shoot = cairn_and_walker();
    const Take take = shoot.takes.front();
    constexpr std::size_t cairn = 0, walker = 1;
    std::vector<Presence> all = presences(shoot, take);
    REQUIRE(all.size() == 1);
    CHECK(all[0].subjects == std::vector{cairn, walker});
    CHECK(all[0].times == TimeWindows{{0.0, 12.0}});

    shoot.subjects[1].present_s = TimeWindows{{0.0, 4.0}, {6.0, 99.0}};
    all = presences(shoot, take);
    REQUIRE(all.size() == 2);
    CHECK(all[0].subjects == std::vector{cairn, walker});
    CHECK(all[0].times == TimeWindows{{0.0, 4.0}, {6.0, 12.0}});
    CHECK(all[1].subjects == std::vector{cairn});
    CHECK(all[1].times == TimeWindows{{4.0, 6.0}});

    shoot.subjects[0].present_s = TimeWindows{{3.0, 6.0}};
    all = presences(shoot, take);
    REQUIRE(all.size() == 3);
    CHECK(all[0].subjects == std::vector{walker});
    CHECK(all[0].times == TimeWindows{{0.0, 3.0}, {6.0, 12.0}});
    CHECK(all[1].times == TimeWindows{{3.0, 4.0}});
    CHECK(all[2].subjects == std::vector{cairn});

    // Who comes when the shutter has closed was never there; nobody else changes anything.
    shoot.subjects[0].present_s.reset();
    shoot.subjects[1].present_s = TimeWindows{{12.0, 20.0}};
    all = presences(shoot, take);
    REQUIRE(all.size() == 1);
    CHECK(all[0].subjects == std::vector{cairn});
    Take alone = take;
    alone.subjects = std::vector<std::string>{};
    all = presences(shoot, alone);
    REQUIRE(all.size() == 1);
    CHECK(all[0].subjects.empty());
}

TEST_CASE("subjects of a take keep the scene's order") {
    const Shoot shoot = cairn_and_walker();
    Take take;
    CHECK(present_subjects(shoot, take).size() == 2);
    take.subjects = std::vector<std::string>{"walker", "cairn"};
    CHECK(present_subjects(shoot, take) == std::vector<std::size_t>{0, 1});
    take.subjects = std::vector<std::string>{"walker"};
    CHECK(present_subjects(shoot, take) == std::vector<std::size_t>{1});
    take.subjects = std::vector<std::string>{};
    CHECK(present_subjects(shoot, take).empty());
}
