// A scene file that uses every table and all keys that go together, for tests of the reader.
#pragma once

#include <string>

namespace lampflight {

inline const std::string full_scene = R"(title = "Lap over a field wall"

[sky]
horizontal_lx = 0.4
temperature_k = 9500
glow_bearing_deg = 240

[air]
gust_m_s = 4
gust_s = 5

[ground]
kind = "rough"
reflectance = [0.25, 0.22, 0.18]
roughness_m = 0.04
far_hills_m = 300
seed = 3

[camera]
sensor_mm = [35.9, 23.9]
pixels = [6048, 4024]
position_m = [1, -17, 1.5]
look_at_m = [0, 0, 4.5]
roll_deg = 0.5
focal_mm = 20
f_number = 11
iso = 800
shutter_s = 20.5
focus_m = 17
dark_frame = true
white_balance_k = 4800
white_balance_duv = 0.002
lens = { transmission = 0.92, blades = 7, open_f_number = 2.0, distortion = [-0.02, 0.003], corner_stops = 0.7, glare_share = 0.02, glare_falloff = 2.2 }
sensor = { quantum_efficiency = 0.55, full_well_e = 48000, read_noise_e = 2.5, dark_current_e_s = 0.03 }

[[subject]]
name = "cairn"                # a rock of its own
model = "boulder"
position_m = [0, 0, 0.5]
facing_deg = 90
scale = 0.5
reflectance = 0.3
takes_part = false
present_s = [0, 12.5]

[[subject]]
name = "slab"
mesh = "slab.obj"

[[lamp]]
name = "warm"
flux_lm = 1200
beam_deg = 75
temperature_k = 5600
gel = { shift_mired = 109, transmission = 0.71 }
face_mm = 40
spill = 0.03
aim = "cairn"

[[lamp]]
name = "cold"
beam_deg = 360
aim = [0, 0.5, -1]
offset_m = [0.2, 0.1, -0.15]
hang_m = 1.5
mount = "fixed"
lit_s = [[1, 6], [8, 20]]
pulse = { per_minute = 90, on_s = 0.04, first_s = 0.5 }

[[lamp]]
name = "post"
flux_lm = 200
dominant_nm = 590
purity = 0.9
position_m = [5, 6, 0.6]
lit_s = [2, 4]

[[drone]]
name = "first"
home_m = [2, -12, 0.2]
mass_kg = 1.4
lamp_mass_kg = 0.25
payload_kg = 0.5
drag_area_m2 = 0.02
endurance_min = 28
loaded_endurance_min = 19
reserve = 0.3
transit_m_s = 4
reset_s = 25
top_wind_m_s = 10
return_height_m = 40
own_lights = "showing"
lights = { left = "blue", right = "amber", behind = "none", flux_lm = 3, arm_m = 0.25 }
beacon = { per_minute = 60, on_s = 0.08, first_s = 0.3, flux_lm = 400, colour = "green" }
limits = { speed_m_s = 8, acceleration_m_s2 = 3, turning_m_s2 = 2, climb_m_s = 3, descent_m_s = 2, yaw_deg_s = 60, air_m_s = 12 }

[[drone]]
name = "second"

[[flight]]
name = "halo"
shape = "circle"
centre_m = [0.5, 0]
height_m = 9
radius_m = 5.5
start_bearing_deg = 90
turns = 1.25
clockwise = false
lap_s = 16
wander_m = 0.3
wander_s = 4
wander_seed = 9
gap_m = 0.5
drone = "first"
carries = ["warm"]

[[flight]]
name = "sweep"
shape = "line"
from_m = [-20, 10, 6]
to_m = [20, 10, 6]
pace = "shutter"
limits = { speed_m_s = 6, acceleration_m_s2 = 1.5 }
carries = ["cold"]

[[flight]]
name = "gate ring"
shape = "ring"
height_m = 7
start_clock_deg = 90
facing_deg = 170
tilt_deg = 12
speed_m_s = 2
carries = ["cold"]

[[flight]]
name = "climb"
shape = "helix"
rise_m = 6
turns = 3
carries = ["warm", "cold"]

[[flight]]
name = "shell"
shape = "spiral"
radius_m = 6
end_radius_m = 1
rise_m = 3
turns = 1.5
lap_s = 30
carries = ["warm"]

[[flight]]
name = "star"
shape = "star"
tips = 6
inner_radius_m = 2.5
radius_m = 4.5
tilt_deg = 8
corner_radius_m = 0.2
speed_m_s = 2
nose_deg = 200
start_s = 1.5
after = "halo"
lit_between = true
carries = ["warm"]

[[flight]]
name = "mower"
shape = "sweep"
length_m = 30
width_m = 8
lane_m = 4
bearing_deg = 40
run_up = true
nose = "ahead"
drone = "second"
carries = ["cold"]

[[flight]]
name = "wait"
shape = "hover"
height_m = 11
lap_s = 12
carries = ["warm"]

[[flight]]
name = "steps"
shape = "waypoints"
nose = "centre"
speed_m_s = 1.5
carries = ["warm", "cold"]

[[waypoint]]
flight = "steps"
position_m = [-6, 2, 3]
hold_s = 2
speed_m_s = 1

[[waypoint]]
flight = "steps"
position_m = [-2, 2.5, 5]
corner_radius_m = 0
lit = false

[[waypoint]]
flight = "steps"
position_m = [5, 2, 4]
aim = "ahead"

[[waypoint]]
flight = "steps"
position_m = [7, 3, 6.5]

[[stretch]]
flight = "halo"
part = [0.25, 0.4]
aim = [0, 0, 1]
lamps = ["warm"]

[[stretch]]
flight = "steps"
part = [0.9, 1]
lit = false

[[point]]
name = "face"
position_m = [0, 0, 1.6]

[[take]]
name = "low halo"
flights = ["halo", "sweep"]
lamps = []
lamp_stops = { warm = -0.5, cold = 1 }

[[take]]
name = "gate"
flights = ["gate ring"]
lamps = ["post"]
subjects = ["slab"]
shutter_s = 25
f_number = 8
iso = 400

[photograph]
blend = "add"
takes = ["gate", "low halo"]
noise_seed = 7
)";

}  // namespace lampflight
