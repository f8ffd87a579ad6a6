// The whole shoot as plain values, valid once read (see read_shoot.h).
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "scene/basics/time_windows.h"
#include "scene/camera/camera.h"
#include "scene/camera/exposure.h"
#include "scene/flights/drone.h"
#include "scene/flights/flight.h"
#include "scene/ground/ground.h"
#include "scene/lamps/lamp.h"
#include "scene/sky/air.h"
#include "scene/sky/place.h"
#include "scene/sky/sky_light.h"
#include "scene/subjects/subject.h"

namespace lampflight {

/// A waypoint written in the scene itself.
struct SceneWaypoint : Waypoint {
    std::string flight;
};

/// How the lamps of a flight burn and point on a part of its shape.
struct PenStretch {
    std::string flight;
    Vec2 part{0.0, 1.0};  ///< from and to, in shares of its length
    bool lit = true;
    std::optional<Aim> aim;                         ///< instead of the lamps' own
    std::optional<std::vector<std::string>> lamps;  ///< to which it applies; all without
};

struct Point {
    std::string name;
    Vec3 position_m{0.0, 0.0, 0.0};
};

struct Take {
    std::string name;
    std::vector<std::string> flights;
    std::optional<std::vector<std::string>> lamps;     ///< standing lamps lit; all when absent
    std::optional<std::vector<std::string>> subjects;  ///< subjects present; all when absent
    std::map<std::string, double> lamp_stops;  ///< lamp name to stops stronger (+), weaker (-)
    std::optional<double> shutter_s;
    std::optional<double> f_number;
    std::optional<double> iso;
    double after_s = 0.0;  ///< when its shutter opens, from the place's moment on
};

enum class Blend { lighten, add, mean };

struct Photograph {
    Blend blend = Blend::lighten;
    std::vector<std::string> takes;  ///< the reader fills in every take when the file names none
    int noise_seed = 1;              ///< another number, other noise of the same strength
};

/// Texts of the files of waypoints and figures that a scene names, by name as it writes them.
using PathFiles = std::map<std::string, std::string>;

struct Shoot {
    std::string title;
    std::optional<Place> place;  ///< sets sun and moon; without it the sky's light is stated
    SkyLight sky;
    Air air;
    Ground ground;
    Camera camera;
    std::vector<Subject> subjects;
    std::vector<Lamp> lamps;
    std::vector<Drone> drones;
    std::vector<Flight> flights;
    std::vector<SceneWaypoint> waypoints;
    std::vector<PenStretch> stretches;
    std::vector<Point> points;
    std::vector<Take> takes;
    Photograph photograph;
    int go = 1;            ///< which of several goes at it: drones stray otherwise, and noise
    PathFiles path_files;  ///< from which its flights were read
};

/// Looks an entry up by its name; the reader has made sure that referred names exist.
template <class Entry>
const Entry* find_named(const std::vector<Entry>& entries, const std::string& name) {
    for (const Entry& entry : entries)
        if (entry.name == name) return &entry;
    return nullptr;
}

/// The camera's settings with the take's own in their place.
ExposureSettings settings_of(const Shoot& shoot, const Take& take);

/// Where the ground is finest: amid the subjects, a third of the way to the camera; the same in
/// every take, so that what stands on it stays where it was set down.
Vec2 ground_middle_m(const Shoot& shoot);

/// The shoot's ground about that middle, trodden where its persons stand, in whichever take.
Terrain terrain_of(const Shoot& shoot);

}  // namespace lampflight
