#include "cli/sheets/plan_layout.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace lampflight {
namespace {

constexpr double gap = 10.0;
constexpr double side_pad = 34.0;
constexpr double above_pad = 24.0;
constexpr double sky_pad = 22.0, ground_pad = 26.0;
constexpr double least_side = 96.0;
constexpr double grid_points = 44.0;

void grow(Box& box, const Vec3& point_m) {
    box.low_m = glm::min(box.low_m, point_m);
    box.high_m = glm::max(box.high_m, point_m);
}

Box of_sight(const SightLine& sight, const Box& world) {
    const Vec3 first(sight.from_above(world.low_m), world.low_m.z);
    Box box{first, first};
    for (const double x : {world.low_m.x, world.high_m.x})
        for (const double y : {world.low_m.y, world.high_m.y})
            for (const double z : {world.low_m.z, world.high_m.z})
                grow(box, Vec3(sight.from_above({x, y, z}), z));
    return box;
}

/// Points of a metre at which a frame just fits into a room.
double points_for(const Box& frame_m, const PixelBox& room) {
    constexpr double least_m = 0.5;
    const Vec3 size_m = glm::max(frame_m.high_m - frame_m.low_m, Vec3(least_m));
    const double high = room.height - gap - 2.0 * above_pad - sky_pad - ground_pad;
    return std::min({(room.width - 2.0 * side_pad) / size_m.x, high / (size_m.y + size_m.z),
                     (high - least_side + sky_pad + ground_pad) / size_m.y});
}

/// Takes a box in, unless the drawing would get much smaller by it.
void grow_a_little(Box& frame, const Box& more, const PixelBox& room) {
    constexpr double least_share = 0.8;
    Box grown = frame;
    // What stands in the ground is not seen there.
    grow(grown, {Vec2(more.low_m), std::max(more.low_m.z, frame.low_m.z)});
    grow(grown, {Vec2(more.high_m), std::max(more.high_m.z, frame.low_m.z)});
    if (points_for(grown, room) >= least_share * points_for(frame, room)) frame = grown;
}

}  // namespace

bool PlanView::shows(const Vec2& page, double margin) const {
    return page.x >= room.left + margin && page.x <= room.left + room.width - margin &&
           page.y >= room.top + margin && page.y <= room.top + room.height - margin;
}

bool is_landscape(const PlannedSubject& subject, const PlanLayout& layout, const SightLine& sight) {
    if (subject.is_person) return false;
    const Box box = of_sight(sight, subject.box);
    const Vec2 half_m = 0.5 * layout.above.size() / layout.points_of_m();
    const Vec2 low_m = layout.above.middle_m - half_m, high_m = layout.above.middle_m + half_m;
    return box.low_m.x < low_m.x && box.low_m.y < low_m.y && box.high_m.x > high_m.x &&
           box.high_m.y > high_m.y;
}

double round_length_m(double least_m) {
    const double power = std::pow(10.0, std::floor(std::log10(least_m)));
    for (const double times : {1.0, 2.0, 5.0})
        if (times * power >= least_m * (1.0 - 1e-9)) return times * power;
    return 10.0 * power;
}

Box plan_frame(const PlanFacts& facts, const Shoot& shoot, const PixelBox& room) {
    const SightLine& sight = facts.sight;
    Box frame{{0.0, 0.0, std::min(0.0, sight.lens_m.z)}, {0.0, 0.0, std::max(0.0, sight.lens_m.z)}};
    const auto placed = [&](const Vec3& world_m) {
        return Vec3(sight.from_above(world_m), world_m.z);
    };
    for (const PlannedFlight& flight : facts.flights)
        for (const Vec3& place_m : flight.way_m) grow(frame, placed(place_m));
    for (const PlannedSubject& subject : facts.subjects)
        if (subject.is_person) {
            const Box box = of_sight(sight, subject.box);
            grow(frame, box.low_m);
            grow(frame, box.high_m);
        }
    for (const PlannedSubject& subject : facts.subjects)
        if (!subject.is_person) grow_a_little(frame, of_sight(sight, subject.box), room);
    for (const Drone& drone : shoot.drones) {
        const Vec3 home_m = placed(drone.home_m);
        grow_a_little(frame, {home_m, home_m}, room);
    }
    for (const Lamp& lamp : shoot.lamps)
        if (lamp.position_m)
            grow_a_little(frame, {placed(*lamp.position_m), placed(*lamp.position_m)}, room);
    for (const PlannedSubject& subject : facts.subjects)
        if (subject.is_person) {
            const Vec3 foot_m = placed(subject.foot_m);
            const Vec3 ring_m(person_ring_m, person_ring_m, 0.0);
            grow_a_little(frame, {foot_m - ring_m, foot_m + ring_m}, room);
        }
    return frame;
}

PlanLayout plan_layout(const Box& frame_m, const PixelBox& room) {
    const double high_m = frame_m.high_m.z - frame_m.low_m.z;
    const double most = points_for(frame_m, room);
    const double least_scale = points_a_metre / most;
    const double power = std::pow(10.0, std::floor(std::log10(least_scale)));
    double scale = 10.0 * power;
    for (const double times : {1.0, 1.25, 1.5, 1.75, 2.0, 2.5, 3.0, 3.5, 4.0, 5.0, 6.0, 7.5})
        if (times * power >= least_scale) {
            scale = times * power;
            break;
        }
    const double points = points_a_metre / scale;
    const double side_height = std::max(least_side, points * high_m + sky_pad + ground_pad);
    const Vec3 middle_m = frame_m.middle_m();
    PlanLayout layout;
    layout.scale = scale;
    layout.grid_m = round_length_m(grid_points / points);
    layout.above = {
        {room.left, room.top, room.width, room.height - gap - side_height}, Vec2(middle_m), points};
    layout.side = {{room.left, room.top + room.height - side_height, room.width, side_height},
                   {middle_m.x, 0.0},
                   points};
    // The lowest stands as high over the lower edge as it needs for the words below the ground.
    layout.side.middle_m.y = frame_m.low_m.z + (0.5 * side_height - ground_pad) / points;
    return layout;
}

}  // namespace lampflight
