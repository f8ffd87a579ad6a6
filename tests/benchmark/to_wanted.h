// What each method costs at the wanted error, from the steps of its ladder.
#pragma once

#include <algorithm>
#include <string>
#include <vector>

#include "tests/benchmark/results.h"

namespace lampflight::bench {

constexpr double wanted_error = 0.01;

/// Flights with their sizes, in the order in which they were run.
inline std::vector<std::string> films() {
    std::vector<std::string> names;
    for (const LayerResult& result : results().layers.all())
        if (std::ranges::count(names, result.film) == 0) names.push_back(result.film);
    return names;
}

inline double clock_s(const LayerResult& row) {
    return row.spent.wall_s;
}

inline double cores_s(const LayerResult& row) {
    return row.spent.cpu_s;
}

/// Cost of a method at the wanted error, by any of its figures.
template <class Cost>
CostAtError at_wanted(const std::string& film, const std::string& method, Cost cost) {
    std::vector<Step> steps;
    for (const LayerResult& row : results().layers.all())
        if (row.film == film && row.method == method && row.on_ladder)
            steps.push_back({cost(row), row.errors.rms});
    return cost_at_error(steps, wanted_error);
}

/// How many times our cost another method takes to the wanted error; 0 if either is not known.
template <class Cost>
double times_ours(const std::string& film, const std::string& method, Cost cost) {
    const CostAtError ours = at_wanted(film, "ours", cost);
    return ours.cost > 0.0 ? at_wanted(film, method, cost).cost / ours.cost : 0.0;
}

}  // namespace lampflight::bench
