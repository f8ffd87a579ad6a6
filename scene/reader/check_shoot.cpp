#include "scene/reader/check_shoot.h"

#include <algorithm>

#include "scene/basics/wording.h"
#include "scene/keys/key_table.h"

namespace lampflight {

std::vector<Problem> check_shoot(const Reading& reading) {
    std::vector<Problem> problems;
    const Checks checks{reading.shoot, reading.map, problems};
    check_names(checks);
    check_place(checks);
    check_air(checks);
    check_camera(checks);
    check_subjects(checks);
    check_lamps(checks);
    check_own_lights(checks);
    check_flights(checks);
    check_takes(checks);
    return problems;
}

void check_above_ground(const Checks& checks, TableRef ref, const Vec3& position_m) {
    if (!checks.map.is_sound(ref, "position_m")) return;
    const double ground_m =
        ground_height_m({checks.shoot.ground, ground_middle_m(checks.shoot)}, Vec2(position_m));
    if (position_m.z <= ground_m)
        checks.refuse_value(ref, "position_m",
                            "is {} m up; allowed is above the ground, which is {:.2f} m there",
                            position_m.z, ground_m);
}

void check_inner(const Checks& checks, TableRef ref, std::string_view inner,
                 std::initializer_list<std::string_view> all,
                 std::initializer_list<std::string_view> needed) {
    const SceneMap& map = checks.map;
    const auto full = [&](std::string_view key) { return fmt::format("{}.{}", inner, key); };
    const auto has = [&](std::string_view key) { return map.has(ref, full(key)); };
    const auto given = std::ranges::find_if(all, has);
    if (given == all.end()) return;
    for (const std::string_view key : needed)
        if (!has(key))
            checks.add(map.key(ref, full(*given)), "{} has {} without {}; required is {}",
                       map.label(ref), in_quotes(inner), in_quotes(key),
                       allowed_text(*find_key(ref.table, full(key))));
}

}  // namespace lampflight
