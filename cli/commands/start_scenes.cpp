#include "cli/commands/start_scenes.h"

namespace lampflight {
namespace {

constexpr std::string_view halo = R"(# A halo above a walker: one lap at dusk with the shutter open.
# World axes are metres east, north and up; bearings are degrees clockwise from north.
# Try changes without touching this file: lampflight check FILE --set flight.halo.radius_m=4.5

title = "Halo over a walker"

[sky]
horizontal_lx = 0.2             # lux on open level ground, late dusk
temperature_k = 9000            # kelvin; dusk is blue
# Or let place and minute set sun, moon and stars: take [sky] away and the marks off these.
# [place]
# latitude_deg = 45.0
# longitude_deg = 7.0             # east is positive
# elevation_m = 600
# when = 2026-11-12T17:56:00+01:00  # 'lampflight dusk' finds the minute

[ground]
kind = "rough"                  # or "flat"
reflectance = [0.30, 0.26, 0.21]  # red, green, blue, each 0 to 1

[camera]
sensor_mm = [36, 24]            # width and height in millimetres
pixels = [6000, 4000]
position_m = [0, -12, 1.2]      # metres east, north, up
look_at_m = [0, 0, 3.6]         # the middle of the frame
focal_mm = 20
f_number = 11
iso = 400
shutter_s = 20                  # seconds
focus_m = 12
white_balance_k = 4800          # kelvin that come out neutral

[[subject]]
name = "walker"
model = "person"                # or "arch", "boulder", or mesh = "mine.obj"
position_m = [0, 0, 0]
facing_deg = 180                # looks south, at the camera

[[lamp]]
name = "warm"
flux_lm = 1500                  # lumens without the gel
beam_deg = 60                   # full width at half maximum
temperature_k = 5600
gel = { shift_mired = 109, transmission = 0.71 }  # half an orange gel
face_mm = 38                    # width of the shining face in millimetres
spill = 0.02                    # share of the light sent all round: it draws the line
aim = "down"                    # or "ahead", "centre", a subject's name, a direction

[[flight]]
name = "halo"
shape = "circle"                # level; "ring" stands upright, "helix" climbs, "line" is straight
centre_m = [0, 0]               # metres east, north
height_m = 7
radius_m = 3.5
start_bearing_deg = 0           # begins behind the walker, where a seam shows least
turns = 1
pace = "shutter"                # one lap within one exposure; or lap_s = 20, or speed_m_s = 1.1
limits.acceleration_m_s2 = 1    # begins and ends at rest; without it one speed all along
carries = ["warm"]

[[point]]                       # 'lampflight meter' reads the film here
name = "face"
position_m = [0, -0.15, 1.6]

[[point]]
name = "ground under the halo"
position_m = [2.0, -3.0, 0.1]

[[take]]
name = "halo"
flights = ["halo"]
)";

constexpr std::string_view figure =
    R"(# A figure that stands upright in the sky: a ring of light behind a ruined arch.
# World axes are metres east, north and up; bearings are degrees clockwise from north.

title = "Ring behind the arch"

[sky]
horizontal_lx = 0.1             # lux on open level ground
temperature_k = 9500            # kelvin

[ground]
kind = "rough"
reflectance = [0.24, 0.22, 0.18]  # red, green, blue, each 0 to 1

[camera]
sensor_mm = [36, 24]            # millimetres
pixels = [6000, 4000]
position_m = [-2, -17, 1.5]     # metres east, north, up
look_at_m = [0, 0, 4.4]
focal_mm = 24
f_number = 8
iso = 800
shutter_s = 25                  # seconds
focus_m = 18
white_balance_k = 4600          # kelvin

[[subject]]
name = "arch"
model = "arch"                  # 4.6 m tall
position_m = [0, 0, 0]
facing_deg = 190                # bearing that its front looks towards

[[lamp]]
name = "bare"
flux_lm = 300                   # lumens: a figure needs little, it is seen head-on
beam_deg = 360                  # degrees; 360 is a bare lamp, alike all round
temperature_k = 3200
face_mm = 60                    # millimetres; a wider face draws a thicker line

[[flight]]
name = "ring"
shape = "ring"
centre_m = [0, 5]               # metres east, north: 5 m behind the arch
height_m = 6.5                  # of the ring's centre
radius_m = 4
facing_deg = 180                # its face looks south, at the camera
start_clock_deg = 180           # begins at the bottom, hidden by the stones
turns = 1
clockwise = true                # seen from its face
lap_s = 24                      # seconds; a little less than the shutter
carries = ["bare"]

[[point]]
name = "stone of the arch"
position_m = [-1.8, -0.4, 1.5]

[[point]]
name = "ground below the ring"
position_m = [0, -3, 0.1]

[[take]]
name = "ring"
flights = ["ring"]
)";

constexpr std::string_view sweep =
    R"(# A sweep over the ground: the lamp flies a straight line above the frame and paints the land.
# Two takes, one from each side, become one picture.
# World axes are metres east, north and up; bearings are degrees clockwise from north.

title = "Boulder painted from above"

[sky]
horizontal_lx = 0.05            # lux on open level ground: nearly night
temperature_k = 8000            # kelvin

[ground]
kind = "rough"
reflectance = [0.32, 0.27, 0.20]  # red, green, blue, each 0 to 1
roughness_m = 0.06              # height of the relief, root mean square, in metres

[camera]
sensor_mm = [36, 24]            # millimetres
pixels = [6000, 4000]
position_m = [0, -9, 1.6]       # metres east, north, up
look_at_m = [0, 0, 1.0]
focal_mm = 28
f_number = 8
iso = 800
shutter_s = 20                  # seconds
focus_m = 9
white_balance_k = 4300          # kelvin

[[subject]]
name = "boulder"
model = "boulder"               # about 2.6 m long and 1.9 m tall
position_m = [0, 0, 0]
facing_deg = 160                # degrees

[[lamp]]
name = "wide"
flux_lm = 900                   # lumens
beam_deg = 90                   # degrees, full width at half maximum
temperature_k = 4300
aim = "down"

[[flight]]
name = "left side"
shape = "line"
from_m = [-9, -6, 7]            # metres east, north, up
to_m = [-5, 4, 7]               # ends above the frame, so that no line is drawn
pace = "shutter"                # the whole line within one exposure
carries = ["wide"]

[[flight]]
name = "right side"
shape = "line"
from_m = [9, -6, 7]
to_m = [5, 4, 7]
pace = "shutter"
carries = ["wide"]

[[point]]
name = "boulder, left"
position_m = [-0.9, -0.6, 1.0]

[[point]]
name = "boulder, right"
position_m = [0.9, -0.6, 1.0]

[[point]]
name = "ground in front"
position_m = [0, -3.5, 0.1]

[[take]]
name = "from the left"
flights = ["left side"]

[[take]]
name = "from the right"
flights = ["right side"]
lamp_stops = { wide = -1 }      # the fill is one stop weaker

[photograph]
blend = "lighten"               # the brighter of the takes at each pixel; or "add", "mean"
)";

constexpr std::string_view silhouette =
    R"(# A silhouette: someone dark against the afterglow, with a spiral of light climbing behind them.
# The lamps light what lies behind and the rim of the coat; the front stays dark.
# World axes are metres east, north and up; bearings are degrees clockwise from north.

title = "Silhouette before a spiral"

[sky]
horizontal_lx = 0.6             # lux on open level ground: the sky is the background
temperature_k = 8500            # kelvin
glow_bearing_deg = 0            # the afterglow stands in the north, behind the figure

[ground]
kind = "flat"
reflectance = [0.16, 0.15, 0.13]  # red, green, blue, each 0 to 1

[camera]
sensor_mm = [36, 24]            # millimetres
pixels = [6000, 4000]
position_m = [0, -7, 0.5]       # metres east, north, up: low, so that the head meets the sky
look_at_m = [0, 0, 2.4]
focal_mm = 24
f_number = 13
iso = 400
shutter_s = 25                  # seconds
focus_m = 7
white_balance_k = 5200          # kelvin

[[subject]]
name = "watcher"
model = "person"
position_m = [0, 0, 0]
facing_deg = 0                  # looks north, away from the camera
reflectance = 0.12              # dark clothes

[[lamp]]                        # on a stand hidden behind the watcher; it draws the rim
name = "rim"
flux_lm = 40                    # lumens
beam_deg = 50                   # degrees, full width at half maximum
temperature_k = 2700
aim = "watcher"                 # a subject's name
position_m = [0, 1.5, 0.9]      # a lamp with a position is not carried

[[lamp]]
name = "flown"
flux_lm = 800
beam_deg = 70
temperature_k = 3000
spill = 0.05                    # share of the light sent all round: it draws the line
aim = [0, 1, -1]                # away from the camera and down, so the front stays dark

[[flight]]
name = "spiral"
shape = "helix"
centre_m = [0, 12]              # metres east, north
height_m = 4                    # at the start
radius_m = 3
rise_m = 6                      # over the whole flight
turns = 2
pace = "shutter"                # all turns within one exposure
carries = ["flown"]

[[point]]
name = "back of the coat"
position_m = [0, -0.2, 1.2]

[[point]]
name = "sky"
position_m = [120, 300, 120]

[[take]]
name = "spiral"
flights = ["spiral"]
)";

}  // namespace

const std::vector<StartScene>& start_scenes() {
    static const std::vector<StartScene> scenes{
        {"halo", "a level halo above a walker at dusk", halo},
        {"figure", "an upright ring in the sky behind an arch", figure},
        {"sweep", "two straight flights that paint a boulder and the ground", sweep},
        {"silhouette", "someone dark before the afterglow and a spiral of light", silhouette},
    };
    return scenes;
}

}  // namespace lampflight
