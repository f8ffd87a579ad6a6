#include "cli/drawing/svg_page.h"

#include <iterator>

#include <fmt/format.h>

#include "scene/basics/wording.h"

namespace lampflight {
namespace {

constexpr const char* fonts = "Helvetica, Arial, 'Liberation Sans', 'DejaVu Sans', sans-serif";

const char* word_of(Anchor anchor) {
    switch (anchor) {
        case Anchor::middle:
            return "middle";
        case Anchor::end:
            return "end";
        case Anchor::start:
            break;
    }
    return "start";
}

std::string stroke_of(const Pen& pen) {
    const std::string dashes =
        pen.dashes.empty() ? "" : fmt::format(" stroke-dasharray=\"{}\"", pen.dashes);
    return fmt::format("stroke=\"{}\" stroke-width=\"{:.4g}\"{}", pen.colour, pen.width, dashes);
}

std::string box_of(const Vec2& corner, const Vec2& size) {
    return fmt::format("x=\"{:.1f}\" y=\"{:.1f}\" width=\"{:.1f}\" height=\"{:.1f}\"", corner.x,
                       corner.y, size.x, size.y);
}

}  // namespace

std::string xml_text(std::string_view text) {
    const std::string shown = printable(text, text.size());
    std::string safe;
    for (std::size_t i = 0; i < shown.size(); ++i) {
        const std::string_view rest = std::string_view(shown).substr(i);
        // U+FFFE and U+FFFF, which no XML may hold.
        if (rest.starts_with("\xEF\xBF\xBE") || rest.starts_with("\xEF\xBF\xBF")) {
            safe += '?';
            i += 2;
            continue;
        }
        switch (shown[i]) {
            case '&':
                safe += "&amp;";
                break;
            case '<':
                safe += "&lt;";
                break;
            case '>':
                safe += "&gt;";
                break;
            case '"':
                safe += "&quot;";
                break;
            default:
                safe += shown[i];
        }
    }
    return safe;
}

SvgPage::SvgPage(double width, double height, const std::string& title,
                 const std::string& description, const std::optional<Vec2>& paper_mm)
    : body_(fmt::format("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
                        "<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\" {5}"
                        "viewBox=\"0 0 {0:.0f} {1:.0f}\" font-family=\"{2}\">\n"
                        "<title>{3}</title>\n<desc>{4}</desc>\n",
                        width, height, fonts, xml_text(title), xml_text(description),
                        paper_mm ? fmt::format("width=\"{:.0f}mm\" height=\"{:.0f}mm\" ",
                                               paper_mm->x, paper_mm->y)
                                 : "")) {}

void SvgPage::box(const Vec2& corner, const Vec2& size, const std::string& fill, double opacity) {
    body_ += fmt::format("<rect {} fill=\"{}\"", box_of(corner, size), fill);
    if (opacity < 1.0) body_ += fmt::format(" fill-opacity=\"{:.3g}\"", opacity);
    body_ += "/>\n";
}

void SvgPage::outline(const Vec2& corner, const Vec2& size, const Pen& pen) {
    body_ += fmt::format("<rect {} fill=\"none\" {}/>\n", box_of(corner, size), stroke_of(pen));
}

void SvgPage::shaded_box(const Vec2& corner, const Vec2& size,
                         const std::vector<ColourStop>& stops) {
    const int number = ++named_;
    body_ +=
        fmt::format("<linearGradient id=\"shade{}\" x1=\"0\" y1=\"0\" x2=\"0\" y2=\"1\">", number);
    for (const ColourStop& stop : stops)
        body_ +=
            fmt::format("<stop offset=\"{:.4f}\" stop-color=\"{}\"/>", stop.share, stop.colour);
    body_ += fmt::format("</linearGradient>\n<rect {} fill=\"url(#shade{})\"/>\n",
                         box_of(corner, size), number);
}

void SvgPage::line(const Vec2& from, const Vec2& to, const Pen& pen) {
    body_ += fmt::format("<line x1=\"{:.1f}\" y1=\"{:.1f}\" x2=\"{:.1f}\" y2=\"{:.1f}\" {}/>\n",
                         from.x, from.y, to.x, to.y, stroke_of(pen));
}

void SvgPage::curve(const std::vector<Vec2>& points, const Pen& pen, const Vec2& corner,
                    const Vec2& size) {
    if (points.size() < 2) return;
    const int number = ++named_;
    body_ += fmt::format("<clipPath id=\"edges{}\"><rect {}/></clipPath>\n", number,
                         box_of(corner, size));
    body_ += "<polyline points=\"";
    for (const Vec2& point : points)
        fmt::format_to(std::back_inserter(body_), "{:.1f},{:.1f} ", point.x, point.y);
    body_.back() = '"';
    body_ +=
        fmt::format(" fill=\"none\" stroke-linejoin=\"round\" clip-path=\"url(#edges{})\" {}/>\n",
                    number, stroke_of(pen));
}

void SvgPage::area(const std::vector<std::vector<Vec2>>& outlines, const std::string& fill,
                   const Pen& pen, double opacity) {
    std::string way;
    for (const std::vector<Vec2>& outline : outlines) {
        if (outline.size() < 2) continue;
        char step = 'M';
        for (const Vec2& point : outline) {
            fmt::format_to(std::back_inserter(way), "{}{:.1f} {:.1f}", step, point.x, point.y);
            step = 'L';
        }
        way += 'Z';
    }
    if (way.empty()) return;
    body_ += fmt::format(
        "<path d=\"{}\" fill=\"{}\" fill-rule=\"evenodd\" fill-opacity=\"{:.3g}\" {}/>\n", way,
        fill, opacity, stroke_of(pen));
}

void SvgPage::begin_clip(const Vec2& corner, const Vec2& size) {
    const int number = ++named_;
    body_ += fmt::format(
        "<clipPath id=\"edges{0}\"><rect {1}/></clipPath>\n<g clip-path=\"url(#edges{0})\">\n",
        number, box_of(corner, size));
}

void SvgPage::end_clip() {
    body_ += "</g>\n";
}

void SvgPage::dot(const Vec2& centre, double radius, const std::string& fill, const Pen& rim) {
    body_ += fmt::format("<circle cx=\"{:.1f}\" cy=\"{:.1f}\" r=\"{:.1f}\" fill=\"{}\" {}/>\n",
                         centre.x, centre.y, radius, fill, stroke_of(rim));
}

void SvgPage::text(const Vec2& at, std::string_view words, const Lettering& lettering) {
    body_ += fmt::format(
        "<text x=\"{:.1f}\" y=\"{:.1f}\" font-size=\"{:.4g}\" fill=\"{}\"{} text-anchor=\"{}\">{}"
        "</text>\n",
        at.x, at.y, lettering.size, lettering.colour, lettering.bold ? " font-weight=\"bold\"" : "",
        word_of(lettering.anchor), xml_text(words));
}

std::string SvgPage::str() const {
    return body_ + "</svg>\n";
}

}  // namespace lampflight
