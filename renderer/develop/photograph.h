// Takes become one picture, some rows at a time, so that nothing as large as the frame need be
// kept.
#pragma once

#include <functional>
#include <vector>

#include "renderer/film/film_rows.h"
#include "scene/shoot/shoot.h"

namespace lampflight {

/// Takes some rows of a picture, of which `rows`' first is the picture's `first`. Called from
/// several threads, each row once.
using KeepRows = std::function<void(int first, const Image& rows)>;

/// The photograph of `expose.h` from films wherever they are. All of them are read twice: for the
/// light that the lens spreads far, and for the rest. Whatever reading throws is passed on.
void photograph(const Shoot& shoot, const std::vector<TakeFilm>& takes, Noise noise,
                const KeepRows& keep);

/// The same for takes in memory.
void photograph(const Shoot& shoot, const std::vector<ExposedTake>& takes, Noise noise,
                const KeepRows& keep);

/// The whole picture.
Image photograph(const Shoot& shoot, const std::vector<TakeFilm>& takes,
                 Noise noise = Noise::left_out);

/// A take's film as the camera's lens spreads it, in lux seconds.
Image film_lxs(const Camera& camera, const TakeFilm& take);

}  // namespace lampflight
