#include "cli/sheets/step_colours.h"

#include <algorithm>
#include <array>

#include "renderer/meter/exposure_steps.h"

namespace lampflight {
namespace {

constexpr Colour8 black_step{14, 14, 18};
constexpr Colour8 burnt_step{255, 255, 255};

// Chosen in Oklab (Ottosson 2020): lightness in even steps with a wider one at mid-grey; violet
// through blue to teal below it, amber to cream above.
constexpr std::array<Colour8, 9> between{{{62, 18, 96},
                                          {61, 47, 134},
                                          {43, 81, 156},
                                          {29, 115, 165},
                                          {29, 147, 166},
                                          {71, 176, 158},
                                          {238, 172, 83},
                                          {247, 202, 117},
                                          {247, 235, 173}}};

}  // namespace

std::size_t coloured_steps() {
    return between.size();
}

std::size_t first_coloured_step() {
    const auto edges = step_edges_stops();
    return static_cast<std::size_t>(std::ranges::upper_bound(edges, black_stops) - edges.begin());
}

Colour8 colour_of_step(std::size_t step) {
    const std::size_t first = first_coloured_step();
    if (step < first) return black_step;
    return step - first < between.size() ? between[step - first] : burnt_step;
}

}  // namespace lampflight
