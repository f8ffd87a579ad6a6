// A flight made ready to be lit: geometry, lamps, what the lens sees. Only the latest is kept.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "renderer/sampling/effort.h"
#include "tests/benchmark/embree_rays.h"
#include "tests/benchmark/scenes.h"
#include "tests/benchmark/truth.h"

namespace lampflight::bench {

/// Size of the film, which of its tiles are lit, and how long to look for the truth.
struct FilmSize {
    glm::ivec2 pixels{960, 640};
    int every = 7;
    int truth_times = 8192;

    bool operator==(const FilmSize&) const = default;
};

class Prepared {
public:
    Prepared(LampFlight flight, const FilmSize& size);

    const LampFlight& flight() const { return flight_; }
    const Geometry& geometry() const { return *geometry_; }
    const SeenFilm& film() const { return film_; }
    const std::vector<LampTrack>& tracks() const { return tracks_; }
    const CameraRays& camera_rays() const { return *camera_rays_; }
    /// What `good` is for a film of this size.
    Effort good() const { return scaled_to(effort_of(Quality::good), size_.pixels); }

    const EmbreeRays& embree();
    const Truth& truth();
    /// The truth of the same surface points with the fine subjects gone; empty if there are none.
    const std::vector<float>& without_fine();

private:
    LampFlight flight_;
    FilmSize size_;
    std::unique_ptr<Geometry> geometry_;
    std::optional<CameraRays> camera_rays_;
    std::vector<LampTrack> tracks_;
    SeenFilm film_;
    std::unique_ptr<EmbreeRays> embree_;
    std::optional<Truth> truth_;
    std::optional<std::vector<float>> without_fine_;
};

/// The flight of that name at that size, made ready by `make` unless it was the last one asked for.
Prepared& prepared(const std::string& name, const FilmSize& size,
                   LampFlight (*make)(const std::string&) = lamp_flight);

}  // namespace lampflight::bench
