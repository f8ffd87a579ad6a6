// Films within a file of layers, read row by row by several threads at once.
#pragma once

#include <cstddef>
#include <functional>
#include <memory>
#include <string>
#include <vector>

#include <glm/glm.hpp>

#include "cli/exr_streams.h"
#include "renderer/image.h"

namespace lampflight {

/// One film and what a take makes of it.
struct FilmOfTake {
    std::size_t film;  ///< as `FilmReader` numbers it
    float scale;
    glm::vec3 gain;
};

/// Every thread has the file open for itself. Whatever is wrong with the file is thrown as
/// UnfitLayers.
class FilmReader {
public:
    /// Opens the file once more.
    using Open = std::function<std::unique_ptr<ExrInput>()>;

    /// Rows of films have `width` pixels.
    FilmReader(Open open, int width);
    ~FilmReader();

    /// Numbers a film, by its part of the file and its layer's name, before any is read. It must
    /// have its three colours in whole or half floats.
    std::size_t add(int part, const std::string& layer);

    /// Adds a row of films to the sum of a take's, in their order.
    void add_row(const std::vector<FilmOfTake>& films, int y, Row sum) const;

private:
    struct Film {
        int part;
        std::string layer;
    };
    class OpenFile;
    struct OpenFiles;

    OpenFile& mine() const;

    Open open_;
    std::size_t width_;
    std::vector<Film> films_;
    std::unique_ptr<OpenFiles> files_;  ///< one for each thread
};

}  // namespace lampflight
