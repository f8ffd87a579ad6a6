// The kinds of cautions, in no order of gravity.
#pragma once

#include <string>

#include "scene/cautions/alike.h"
#include "scene/cautions/flown_take.h"

namespace lampflight {

/// A camera higher up than this is on no tripod.
constexpr double highest_tripod_m = 3.0;

/// The most above ground that rules let a drone fly: stated with the place, else the usual one.
double ceiling_m(const Shoot& shoot);

/// Where that comes from, and where to check it.
std::string ceiling_text(const Shoot& shoot);

/// Safety: people near a flight or under it.
Findings safety_cautions(const FlownTake& seen);

/// Obstacles: subjects near a flight or in it, small circles, drones near each other.
Findings obstacle_cautions(const FlownTake& seen);

/// Glare: lamps in eyes, and beams that reach people far off.
Findings glare_cautions(const FlownTake& seen);

/// Height: flights too high, at the height of heads, into the ground.
Findings height_cautions(const FlownTake& seen);

/// Speed: faster, or turning harder, than a loaded drone does.
Findings speed_cautions(const FlownTake& seen);

/// The frame: flights outside it, and what of them the picture still shows.
Findings frame_cautions(const FlownTake& seen);

/// The lap and the shutter: gaps, and what the shutter cuts off.
Findings lap_cautions(const FlownTake& seen);

/// Focus: subjects and trails that the lens draws visibly blurred.
Findings focus_cautions(const FlownTake& seen);

/// The lens: lamps so near it that their light is not drawn.
Findings lens_cautions(const FlownTake& seen);

/// Time: light and people that miss the shutter, and flashes that harm.
Findings time_cautions(const Shoot& shoot, const std::vector<FlownTake>& takes);

/// The shutter: open for longer than a loaded drone flies.
Findings shutter_cautions(const FlownTake& seen);

/// Shadow: what sun or moon, low behind the camera, cast of whoever stands there; none without a
/// place.
Findings shadow_cautions(const Shoot& shoot);

/// Daylight: a take that opens while the sun is up; none without a place.
Findings daylight_cautions(const Shoot& shoot);

/// The place: coordinates or a clock that look exchanged; none without one.
Findings place_cautions(const Shoot& shoot);

/// The camera: in a subject or a stone, close above the ground, or its tripod in a subject.
Findings camera_cautions(const PlacedShoot& shoot);

/// Mesh files: subjects of an unlikely size, open or inside out.
Findings mesh_cautions(const PlacedShoot& shoot);

/// Exposure: a good part of the frame that would be burnt. Silent by day, of which
/// `daylight_cautions` tell.
Findings exposure_cautions(const FlownTake& seen);

/// Wind: more of it than the drone does, and straying that parts a line.
Findings wind_cautions(const FlownTake& seen);

/// Drones' own lights: covered ones, streaks in the picture, the beacon.
Findings own_light_cautions(const Shoot& shoot);

/// Batteries: what does not fit into one.
Findings battery_cautions(const Shoot& shoot);

/// Sensing: lamps that blind what a drone lands by, and a drone out of sight.
Findings sensing_cautions(const FlownTake& seen);

/// The return: what stands in a drone's way as it comes home by itself, and the ceiling.
Findings return_cautions(const FlownTake& seen);

/// What is tied on: its mass, where it hangs, tape, cables, heat.
Findings load_cautions(const Shoot& shoot);

/// What holds for every flight and lamp, whatever the shoot.
Findings standing_cautions(const Shoot& shoot);

}  // namespace lampflight
