// Discs of confusion on a trail film: what a lens makes of points of light, laid many at once.
#pragma once

#include <span>
#include <stop_token>
#include <vector>

#include "renderer/film/trail_film.h"

namespace lampflight {

/// An even disc of light with a soft edge of one part of the film.
struct FilmDisc {
    glm::dvec2 centre_px;
    double radius_px;
    glm::vec3 deposit;  ///< lux seconds times the area of one pixel of the picture
};

/// How far apart two discs of a trail may lie and still draw it even: a quarter of the film's part,
/// or, once that is less, a 512th of the radius, which leaves ripples of a 1000th.
double finest_shift_px(double radius_px, int side);

/// Lays discs; what falls outside the frame is lost. A wide disc costs its edge, not its area: in
/// each row of parts it is noted where it begins and ends, and a running sum fills what is between.
/// Bands of rows share the work, so that the number of threads does not change the result. Returns
/// false if stopped: the film then holds some of the light.
bool add_discs(std::span<const FilmDisc> discs, TrailFilm& film, const std::stop_token& stop = {});

/// Gathers discs in the order in which a trail lays them and lays them a good many at once. Wide
/// ones that follow each other within the finest shift become one.
class DiscQueue {
public:
    DiscQueue(TrailFilm& film, std::stop_token stop);

    /// Returns false if stopped.
    bool add(const FilmDisc& disc);

    /// Lays what is left. Returns false if stopped.
    bool finish();

private:
    /// Discs of which one is made, weighted by their light.
    struct Joined {
        FilmDisc first;
        double light = 0.0;
        glm::dvec2 centre_px{0.0};
        double radius_px = 0.0;
        glm::dvec3 deposit{0.0};

        void add(const FilmDisc& disc);
        FilmDisc disc() const;
    };

    bool push(const FilmDisc& disc);
    bool push_joined();

    TrailFilm& film_;
    std::stop_token stop_;
    std::vector<FilmDisc> discs_;
    Joined joined_;
};

}  // namespace lampflight
