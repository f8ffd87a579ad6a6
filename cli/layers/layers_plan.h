// How a render's layers are spread over the parts of a file.
#pragma once

#include <string>
#include <vector>

#include "cli/layers/layers_manifest.h"
#include "renderer/film/exposed_take.h"

namespace lampflight {

/// Rows of a picture, of which `end` is none.
struct RowRange {
    int first;
    int end;
    bool is_empty() const { return first >= end; }
};

/// A film as wide as the frame, which has a part to itself, and the takes that hold it.
struct FilmPart {
    std::string name;
    std::vector<std::size_t> takes;
    LayerId layer;
    const Image* film;
    RowRange rows;  ///< that have light; the part holds no others
};

/// One trail, for which there are two parts.
struct TrailPart {
    std::size_t take;
    LayerId layer;
    std::vector<TrailPixel> pixels;  ///< none where light reached none
    int parts_across;
    std::string picture_name;  ///< of the part with the picture's own pixels
    std::string parts_name;    ///< of the part with the sensor's
};

struct LayersPlan {
    std::vector<FilmPart> films;
    std::vector<TrailPart> trails;
    std::vector<TakeInFile> takes;
};

/// Films without any light are left out. Holds on to the takes.
LayersPlan layers_plan(const std::vector<ExposedTake>& takes);

}  // namespace lampflight
