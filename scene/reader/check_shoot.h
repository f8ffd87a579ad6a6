// Validation of what no single value shows: names, references, and whether the parts of a shoot fit
// together. One file a table, and what they share.
#pragma once

#include <initializer_list>
#include <string_view>
#include <utility>
#include <vector>

#include <fmt/format.h>

#include "scene/basics/problem.h"
#include "scene/reader/read_tables.h"

namespace lampflight {

/// Every contradiction in what was read. Values that could not be read are left out of it.
std::vector<Problem> check_shoot(const Reading& reading);

/// What is checked, and the problems found so far.
struct Checks {
    const Shoot& shoot;
    const SceneMap& map;
    std::vector<Problem>& problems;

    template <class... Values>
    void add(const TextPlace& place, fmt::format_string<Values...> text, Values&&... values) const {
        problems.push_back(problem_at(place, fmt::format(text, std::forward<Values>(values)...)));
    }

    // Problems of a key, and of its value; the text goes on from `"iso" in [camera]`.
    template <class... Values>
    void refuse_key(TableRef ref, std::string_view key, fmt::format_string<Values...> text,
                    Values&&... values) const {
        add(map.key(ref, key), "{} {}", map.label(ref, key),
            fmt::format(text, std::forward<Values>(values)...));
    }
    template <class... Values>
    void refuse_value(TableRef ref, std::string_view key, fmt::format_string<Values...> text,
                      Values&&... values) const {
        add(map.value(ref, key), "{} {}", map.label(ref, key),
            fmt::format(text, std::forward<Values>(values)...));
    }
};

void check_names(const Checks& checks);     ///< each used once, every reference to one there
void check_place(const Checks& checks);     ///< what only a place gives sense, or takes it from
void check_air(const Checks& checks);       ///< wind and its gusts
void check_camera(const Checks& checks);    ///< its frame, focus, aim and lens
void check_subjects(const Checks& checks);  ///< a model or a mesh
void check_lamps(const Checks& checks);     ///< gel, pulse, and those that stand
void check_flights(const Checks& checks);   ///< height, pace, limits, and what they carry
void check_takes(const Checks& checks);     ///< that there is light, and whose

// Parts of `check_flights`.
void check_course(const Checks& checks, TableRef ref, const Flight& flight);
void check_order(const Checks& checks, TableRef ref, const Flight& flight);
void check_waypoints(const Checks& checks);
void check_stretches(const Checks& checks);  ///< and of aims on the way
void check_drones(const Checks& checks);
void check_limits_table(const Checks& checks, TableRef ref);
void check_wander(const Checks& checks, TableRef ref, const Flight& flight);

void check_own_lights(const Checks& checks);  ///< beacons, and the names of drones' lights

/// `position_m` of a table lies above the ground.
void check_above_ground(const Checks& checks, TableRef ref, const Vec3& position_m);

/// Keys of one inner table of which some are needed as soon as any is there.
void check_inner(const Checks& checks, TableRef ref, std::string_view inner,
                 std::initializer_list<std::string_view> all,
                 std::initializer_list<std::string_view> needed);

/// A flash is over before the next one begins; `inner` is the table of its keys.
void check_flash(const Checks& checks, TableRef ref, std::string_view inner, const Pulse& pulse);

/// Two points nearer than this are one.
constexpr double shortest_line_m = 0.01;

}  // namespace lampflight
