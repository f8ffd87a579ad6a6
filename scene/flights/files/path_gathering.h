// Paths as they are read from a file point by point, kept within the limits.
#pragma once

#include <cstddef>
#include <map>
#include <string>

#include "scene/flights/files/path_file.h"
#include "scene/flights/files/path_values.h"

namespace lampflight {

class PathGathering {
public:
    /// Points that follow are of a new path.
    void begin(const std::string& name);

    /// Points that follow are of the path of this name, which is gone on with if there is one.
    void choose(const std::string& name);

    /// The lamps are off from the last point of this path to the next.
    void part();

    /// Adds a point; or what is wrong with it, said of it: "lies 30 km from ...". One that is less
    /// than a millimetre from the point before becomes one with it.
    PathFault add(const StatedPoint& point);

    /// All paths; or what they lack, `none_text` where there are none.
    PathFileResult finished(const std::string& none_text) &&;

private:
    struct Gathered {
        FilePath path;
        std::optional<double> time_s;
    };

    std::vector<Gathered> gathered_;
    std::map<std::string, std::size_t> by_name_;
    std::size_t current_ = 0;
    std::size_t points_ = 0;
};

}  // namespace lampflight
