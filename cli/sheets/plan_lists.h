// The tables of a set-up plan: places from the tripod, flights, and what to watch.
#pragma once

#include <string>
#include <vector>

#include "cli/sheets/plan_facts.h"
#include "cli/sheets/plan_words.h"
#include "scene/planning/shoot_figures.h"

namespace lampflight {

/// Starts, take-offs, subjects, standing lamps and ends, in this order; what finds no room is
/// counted.
PlanTable places_table(const PlanFacts& facts, const Shoot& shoot, std::size_t most_rows);

/// Heights, way round, lap and nearest distances of each flight.
PlanTable flights_table(const PlanFacts& facts, std::size_t most_rows);

/// Batteries in one sentence; empty where the scene tells of none.
std::string battery_sentence(const Shoot& shoot);

/// Cautions of danger and care, gravest first, folded to the width; the first line of each has its
/// level. The last counts what finds no room.
struct PlanCautionLine {
    std::string level;
    std::string words;
};
std::vector<PlanCautionLine> caution_lines(const std::vector<Caution>& cautions, double width,
                                           std::size_t most_lines);

}  // namespace lampflight
