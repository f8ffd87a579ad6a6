// The skies of a shoot, by the moments of its takes.
#pragma once

#include <map>
#include <optional>

#include "renderer/sky/sky.h"
#include "scene/shoot/shoot.h"

namespace lampflight {

/// Each sky is made once, and the air that they hang in.
class Skies {
public:
    /// Refers to the shoot.
    explicit Skies(const Shoot& shoot) : shoot_(shoot) {}

    /// In seconds after the place's own moment; without a place the stated sky.
    const Sky& at(double after_s);

private:
    Sky made_for(double after_s);

    const Shoot& shoot_;
    std::optional<Atmosphere> air_;
    std::map<double, Sky> skies_;
};

}  // namespace lampflight
