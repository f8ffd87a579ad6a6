// Evenly spread points for the path tracer, every set of them moved by chance.
#pragma once

#include <array>
#include <cmath>
#include <cstddef>
#include <random>

#include "scene/basics/vector.h"

namespace lampflight {

/// Points evenly spread over a cube: the additive recurrence whose steps are powers of 1 / g, where
/// g^(d + 1) = g + 1 (Roberts 2018, from memory), moved as a whole by a shift (Cranley & Patterson
/// 1976), which leaves every point evenly distributed by itself.
class ShiftedPoints {
public:
    static constexpr std::size_t most_dimensions = 16;

    ShiftedPoints(std::size_t dimensions, std::mt19937_64& random) {
        double g = 2.0;
        for (int i = 0; i < 60; ++i)
            g = std::pow(1.0 + g, 1.0 / (static_cast<double>(dimensions) + 1.0));
        std::uniform_real_distribution<double> even(0.0, 1.0);
        double step = 1.0;
        for (std::size_t d = 0; d < dimensions; ++d) {
            step /= g;
            step_[d] = step;
            shift_[d] = even(random);
        }
    }

    double at(std::size_t point, std::size_t dimension) const {
        const double place = shift_[dimension] + static_cast<double>(point) * step_[dimension];
        return place - std::floor(place);
    }
    Vec2 pair(std::size_t point, std::size_t dimension) const {
        return {at(point, dimension), at(point, dimension + 1)};
    }

private:
    std::array<double, most_dimensions> step_{}, shift_{};
};

}  // namespace lampflight
