#include "scene/cautions/caution_kinds.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "scene/cautions/clearance.h"
#include "scene/ground/scree.h"

namespace lampflight {
namespace {

constexpr double hand_m = 0.1;

bool comes_in_a_take(const PlacedShoot& shoot, std::size_t subject) {
    return std::ranges::any_of(shoot.takes, [&](const Take& take) {
        return std::ranges::binary_search(present_subjects(shoot, take), subject);
    });
}

/// Whether a tripod below the camera goes through a mesh. What it touches at its feet, it stands
/// on.
bool column_meets(const Vec3& camera_m, double ground_m, const Mesh& mesh) {
    constexpr double feet_m = 0.3;
    if (camera_m.z - ground_m > highest_tripod_m) return false;
    for (double z = camera_m.z; z > ground_m + feet_m; z -= hand_m)
        if (distance_m({Vec2(camera_m), z}, mesh, hand_m) < hand_m) return true;
    return false;
}

void add_in_subject(Findings& list, const PlacedShoot& shoot, double ground_m) {
    const Vec3 camera_m = shoot.camera.position_m;
    for (std::size_t i = 0; i < shoot.subjects.size(); ++i) {
        if (!comes_in_a_take(shoot, i)) continue;
        const Mesh& mesh = shoot.meshes[i];
        const std::string& name = shoot.subjects[i].name;
        if (is_inside(camera_m, mesh))
            list.push_back({"camera",
                            CautionLevel::care,
                            fmt::format("The camera stands inside \"{}\": move one of them.", name),
                            {"inside", "subject", name}});
        else if (distance_m(camera_m, mesh, hand_m) < hand_m)
            list.push_back({"camera",
                            CautionLevel::care,
                            fmt::format("The lens is less than a hand's breadth from \"{}\": move "
                                        "one of them.",
                                        name),
                            {"touches", "subject", name}});
        else if (column_meets(camera_m, ground_m, mesh))
            list.push_back({"camera",
                            CautionLevel::care,
                            fmt::format("\"{}\" stands where the tripod below the camera would: "
                                        "move one of them.",
                                        name),
                            {"tripod", "subject", name}});
    }
}

/// Stones rise by less than this above the soil.
constexpr double highest_stone_m = 0.25;

bool is_at_a_stone(const Terrain& terrain, const Camera& camera) {
    Mesh stones;
    add_scree(stones, terrain, view_frustum(camera));
    return is_inside(camera.position_m, stones) ||
           distance_m(camera.position_m, stones, hand_m) < hand_m;
}

void add_in_ground(Findings& list, const Terrain& terrain, const Camera& camera, double ground_m) {
    const double height_m = camera.position_m.z - ground_m;
    if (height_m < hand_m)
        list.push_back({"camera", CautionLevel::care,
                        fmt::format("The lens is only {:.2f} m above the ground, which lies at "
                                    "{:.2f} m there: raise it.",
                                    height_m, ground_m)});
    else if (height_m < hand_m + highest_stone_m && is_at_a_stone(terrain, camera))
        list.push_back({"camera", CautionLevel::care,
                        "The lens is in a stone of the rough ground or less than a hand's breadth "
                        "from one: raise it or move it."});
}

}  // namespace

Findings camera_cautions(const PlacedShoot& shoot) {
    Findings list;
    const Terrain terrain = terrain_of(shoot);
    const double ground_m = ground_height_m(terrain, Vec2(shoot.camera.position_m));
    add_in_ground(list, terrain, shoot.camera, ground_m);
    add_in_subject(list, shoot, ground_m);
    return list;
}

}  // namespace lampflight
