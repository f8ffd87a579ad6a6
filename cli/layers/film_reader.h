// Films within a file of layers, read row by row by several threads at once.
#pragma once

#include <cstddef>
#include <memory>
#include <string>
#include <vector>

#include <glm/glm.hpp>

#include "cli/layers/exr_file.h"
#include "renderer/film/image.h"

namespace lampflight {

/// One film and what a take makes of it.
struct FilmOfTake {
    std::size_t film;  ///< as `FilmReader` numbers it
    float scale;
    glm::vec3 gain;
};

/// Whatever is wrong with the file is thrown as UnfitLayers.
class FilmReader {
public:
    /// The file must outlive it.
    explicit FilmReader(const ExrFile& file);
    ~FilmReader();

    /// Numbers a film of a take, by its part of the file and its layer's name, before any is read.
    /// The part must be in plain rows and have the layer's three colours in whole or half floats.
    std::size_t add(int part, const std::string& layer);

    /// Fills a row with the sum of a take's films, in their order.
    void sum_row(const std::vector<FilmOfTake>& films, int y, Row sum) const;

private:
    struct Film {
        int part;
        std::string layer;
        bool is_shared;  ///< by several takes
    };
    class OpenFilm;
    struct Thread;
    struct Threads;

    const ExrFile& file_;
    std::vector<Film> films_;
    std::unique_ptr<Threads> threads_;
};

}  // namespace lampflight
