// The five answers that whoever sets up asks for, in boxes at the head of the plan.
#pragma once

#include <string>
#include <vector>

#include "cli/drawing/canvas.h"
#include "cli/drawing/svg_page.h"
#include "cli/sheets/plan_facts.h"

namespace lampflight {

struct PlanAnswerBox {
    std::string question;
    std::vector<std::string> lines;
    double width;  ///< share of the page's
};

constexpr double answer_boxes_height = 74.0;

/// Where to stand, where flights start, how high, which way round, how near a person.
std::vector<PlanAnswerBox> plan_answers(const PlanFacts& facts, const Shoot& shoot);

/// Whether the way round has room for a sketch beside it, and where.
bool has_round_sketch(const PlanFacts& facts);
PixelBox round_sketch_room(const Vec2& corner, double width,
                           const std::vector<PlanAnswerBox>& answers);

void draw_answers(SvgPage& page, const Vec2& corner, double width,
                  const std::vector<PlanAnswerBox>& answers);

}  // namespace lampflight
