// Words beside the marks of a drawing, none lying on another.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "cli/drawing/canvas.h"
#include "cli/drawing/svg_page.h"
#include "cli/sheets/plan_words.h"

namespace lampflight {

/// A black disc with the number of an answer.
void draw_badge(SvgPage& page, const Vec2& centre, int number);
constexpr double badge_radius = 6.0;

struct PlanLabel {
    std::vector<std::string> lines;
    int badge = 0;     ///< number of the answer that it gives; 0 for none
    bool bold = true;  ///< its first line
    double size = 8.0;
};

class PlanLabels {
public:
    explicit PlanLabels(const PixelBox& room) : room_(room) {}

    /// No label lies on it.
    void keep_clear(const PixelBox& box) { taken_.push_back(box); }
    void keep_clear(const Vec2& centre, double radius);
    /// Labels keep off a line where there is other room: so much the farther, the dearer it is to
    /// lie on five points of it.
    void keep_off(const std::vector<Vec2>& line, double dearness);

    /// As near as there is room; false, and left out, where there is none.
    bool add(const Vec2& anchor, const PlanLabel& label);

    void draw(SvgPage& page) const;

private:
    struct Placed {
        PlanLabel label;
        PixelBox box;
        Vec2 anchor;
        bool apart;  ///< so far that a line leads to it
    };

    /// How bad a place is; infinite where it can't be.
    double cost(const PixelBox& box, const Vec2& anchor, double apart) const;

    PixelBox room_;
    std::vector<PixelBox> taken_;
    std::vector<std::pair<Vec2, double>> off_;  ///< points of lines, and how dear they are
    std::vector<Placed> placed_;
};

}  // namespace lampflight
