// A page of vector graphics (SVG 1.1, W3C) as text: plain shapes and words, nothing to run or
// fetch.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "scene/basics/vector.h"

namespace lampflight {

/// A stroke; colours as SVG has them.
struct Pen {
    std::string colour;
    double width = 1.0;
    std::string dashes;  ///< lengths of line and gap, "6 4"; empty for a whole line
};

enum class Anchor { start, middle, end };

struct Lettering {
    double size = 16.0;
    std::string colour = "#222";
    bool bold = false;
    Anchor anchor = Anchor::start;
};

struct ColourStop {
    double share;  ///< of the way down
    std::string colour;
};

/// x to the right, y down, in units of the page. What comes later lies on top.
class SvgPage {
public:
    /// `title` and `description` are for those who can't see it. `paper_mm` is its size in print;
    /// without, it takes the room there is.
    SvgPage(double width, double height, const std::string& title, const std::string& description,
            const std::optional<Vec2>& paper_mm = std::nullopt);

    void box(const Vec2& corner, const Vec2& size, const std::string& fill, double opacity = 1.0);
    void outline(const Vec2& corner, const Vec2& size, const Pen& pen);
    /// A box whose colour changes from its top to its bottom.
    void shaded_box(const Vec2& corner, const Vec2& size, const std::vector<ColourStop>& stops);
    void line(const Vec2& from, const Vec2& to, const Pen& pen);
    /// Cut off at the edges of a box.
    void curve(const std::vector<Vec2>& points, const Pen& pen, const Vec2& corner,
               const Vec2& size);
    /// Areas between closed outlines, those within others as holes.
    void area(const std::vector<std::vector<Vec2>>& outlines, const std::string& fill,
              const Pen& pen, double opacity = 1.0);
    /// What is drawn until `end_clip` is cut off at the edges of a box.
    void begin_clip(const Vec2& corner, const Vec2& size);
    void end_clip();
    void dot(const Vec2& centre, double radius, const std::string& fill, const Pen& rim);
    void text(const Vec2& at, std::string_view words, const Lettering& lettering);

    std::string str() const;

private:
    std::string body_;
    int named_ = 0;  ///< gradients and edges so far
};

/// Text as XML has it: marks escaped, and control characters, which XML can't hold, shown.
std::string xml_text(std::string_view text);

}  // namespace lampflight
