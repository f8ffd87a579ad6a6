#include "cli/sheets/plan_line.h"

namespace lampflight {

double length_of_line(const std::vector<Vec2>& line) {
    double sum = 0.0;
    for (std::size_t i = 1; i < line.size(); ++i) sum += glm::distance(line[i - 1], line[i]);
    return sum;
}

std::pair<Vec2, Vec2> along_line(const std::vector<Vec2>& line, double way) {
    for (std::size_t i = 1; i < line.size(); ++i) {
        const double step = glm::distance(line[i - 1], line[i]);
        if (way <= step && step > 0.0)
            return {glm::mix(line[i - 1], line[i], way / step), (line[i] - line[i - 1]) / step};
        way -= step;
    }
    return {line.back(), {0.0, 0.0}};
}

std::vector<Vec2> spaced(const std::vector<Vec2>& line, double fine) {
    std::vector<Vec2> kept;
    for (const Vec2& at : line)
        if (kept.empty() || glm::distance(kept.back(), at) >= fine) kept.push_back(at);
    if (!line.empty() && kept.back() != line.back()) kept.push_back(line.back());
    return kept;
}

void draw_arrow_on(SvgPage& page, const std::vector<Vec2>& line, double way, double size,
                   const Pen& pen) {
    if (line.size() < 2) return;
    constexpr double ahead = 5.0, behind = 4.0, aside = 3.6;
    const std::pair<Vec2, Vec2> place = along_line(line, way);
    const Vec2& at = place.first;
    const Vec2 onwards = size * place.second, across(-onwards.y, onwards.x);
    page.area({{at + ahead * onwards, at - behind * onwards + aside * across,
                at - behind * onwards - aside * across}},
              pen.colour, {"#ffffff", 0.6, ""});
}

}  // namespace lampflight
