#include "cli/sheets/dusk_plot.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "cli/drawing/svg_page.h"
#include "cli/reports/quantity_text.h"
#include "cli/reports/table.h"
#include "cli/sheets/dusk_labels.h"
#include "renderer/develop/tone.h"
#include "renderer/meter/exposure_steps.h"
#include "scene/basics/wording.h"

namespace lampflight {
namespace {

constexpr double page_width = 744.0;
constexpr double edge = 20.0;
constexpr double strip_left = 76.0, strip_width = 26.0;
constexpr double chart_left = 112.0, chart_right = 436.0;
constexpr double label_left = 456.0, label_words_left = 512.0;
constexpr double chart_height = 760.0;
constexpr double foot_height = 92.0;
constexpr double line_step = 24.0;
constexpr double small = 16.0, plain = 18.0;
constexpr std::size_t head_letters = 74, label_letters = 24;

constexpr const char* paper = "#fffdf8";
constexpr const char* ink = "#20242c";
constexpr const char* faint = "#5d6470";
constexpr const char* rule = "#d9d6cd";
constexpr const char* sky_ink = "#1f4fa3";
constexpr const char* lamp_ink = "#c4520a";
constexpr const char* ground_ink = "#85664a";
constexpr const char* wanted_fill = "#f2c14e";
constexpr const char* wanted_ink = "#7a5600";

// Where the sensor saturates.
const double burnt_stops = std::log2(saturation_over_mid_grey);

std::string hex_of(const glm::vec3& linear) {
    const auto code = [](float value) {
        return static_cast<int>(
            std::lround(255.0 * srgb_encode(std::clamp(static_cast<double>(value), 0.0, 1.0))));
    };
    return fmt::format("#{:02x}{:02x}{:02x}", code(linear.x), code(linear.y), code(linear.z));
}

std::string signed_text(int stops) {
    if (stops == 0) return "0";
    return fmt::format("{}{}", stops < 0 ? "\u2212" : "+", std::abs(stops));
}

/// Every so many minutes that a page holds well.
int tick_min(double span_s) {
    for (const int minutes : {5, 10, 15, 20, 30, 60, 120, 180})
        if (span_s / (60.0 * minutes) <= 14.0) return minutes;
    return 240;
}

/// Where stops and times lie on the page.
struct Chart {
    double top;
    DuskSpan span;
    double low_stops = 0.0, high_stops = 1.0;

    double x_of(double stops) const {
        return chart_left +
               (chart_right - chart_left) * (stops - low_stops) / (high_stops - low_stops);
    }
    double y_of(double unix_s) const {
        return top + chart_height * (unix_s - span.from_s) / (span.to_s - span.from_s);
    }
    bool holds(double stops) const { return stops >= low_stops && stops <= high_stops; }
};

/// What is burnt or black is so however much; but the sky at its nearest to the wanted, the takes'
/// skies and the light of the lamps should come into view.
Chart chart_of(const Dusk& dusk, double top) {
    constexpr double lowest = -11.5, curves_to = 6.0, takes_to = 9.0, spare = 0.7;
    double darkest = 0.0, brightest = 0.0, shown = 1e9;
    for (const DuskMinute& minute : dusk.minutes) {
        darkest = std::min({darkest, minute.sky_stops, minute.ground_stops});
        brightest = std::max(brightest, minute.lit_ground_stops);
        shown = std::min(shown, minute.lit_ground_stops);
    }
    for (const DuskTake& take : dusk.takes) shown = std::max(shown, take.opens.sky_stops);
    const double nearest = dusk.nearest.sky_stops;
    const double low = std::floor(std::min({black_stops - 1.0, dusk.want_stops - 1.0,
                                            nearest - spare, std::max(darkest - spare, lowest)}));
    const double high = std::ceil(
        std::max({burnt_stops + 1.0, dusk.want_stops + 1.0, nearest + spare,
                  std::min(brightest + spare, curves_to), std::min(shown + spare, takes_to)}));
    return {top, dusk.span, low, high};
}

std::string page_title(const DuskReport& report) {
    return report.title.empty() ? "Dusk" : report.title;
}

std::string place_and_day(const DuskReport& report) {
    const Place& place = report.place;
    const std::string moment =
        date_time_text({report.dusk.minutes.front().unix_s, place.when.offset_min});
    return fmt::format("{} \u00b7 clock {} \u00b7 {:.4f} {} {:.4f} {}", moment.substr(0, 10),
                       offset_text(place.when.offset_min), std::abs(place.latitude_deg),
                       place.latitude_deg < 0.0 ? 'S' : 'N', std::abs(place.longitude_deg),
                       place.longitude_deg < 0.0 ? 'W' : 'E');
}

std::vector<std::string> head_lines(const DuskReport& report) {
    std::vector<std::string> lines;
    for (const std::string& sentence : dusk_sentences(report))
        for (const std::string& line : wrapped(sentence, head_letters)) lines.push_back(line);
    return lines;
}

std::string description(const DuskReport& report) {
    std::string text;
    for (const std::string& sentence : dusk_sentences(report)) text += sentence + ". ";
    return text;
}

const Pen sky_pen{sky_ink, 4.0, ""};
const Pen lit_pen{lamp_ink, 4.0, "14 5"};
const Pen ground_pen{ground_ink, 2.5, "3 4"};

bool is_take(const DuskLabel& label) {
    return label.event.kind == DuskEvent::Kind::take;
}

const char* ink_of(DuskEvent::Kind kind) {
    if (kind == DuskEvent::Kind::window) return wanted_ink;
    return kind == DuskEvent::Kind::take || kind == DuskEvent::Kind::alike ? ink : faint;
}

class DuskPlot {
public:
    explicit DuskPlot(const DuskReport& report)
        : report_(report),
          dusk_(report.dusk),
          sentences_(head_lines(report)),
          chart_(chart_of(dusk_, 172.0 + line_step * static_cast<double>(sentences_.size()))),
          page_(page_width, chart_.top + chart_height + foot_height, page_title(report),
                description(report)) {}

    std::string drawn() {
        page_.box({0.0, 0.0}, {page_width, chart_.top + chart_height + foot_height}, paper);
        draw_head();
        draw_key();
        draw_zones();
        draw_wanted();
        draw_times();
        draw_stops();
        draw_strip();
        draw_foot();
        const std::vector<DuskLabel> labels =
            dusk_labels(dusk_, [this](double unix_s) { return chart_.y_of(unix_s); });
        draw_leaders(labels);
        draw_curves();
        draw_takes();
        draw_labels(labels);
        return page_.str();
    }

private:
    /// Nothing where it lies beyond the chart.
    void draw_dot(double stops, double unix_s, double radius, const std::string& fill,
                  const Pen& rim) {
        if (chart_.holds(stops))
            page_.dot({chart_.x_of(stops), chart_.y_of(unix_s)}, radius, fill, rim);
    }
    std::string clock(double unix_s) const {
        return minute_text({unix_s, report_.place.when.offset_min});
    }

    void draw_head() {
        page_.text({edge, 44.0}, printable(page_title(report_), 44), {25.0, ink, true});
        page_.text({edge, 72.0}, place_and_day(report_), {plain, faint});
        page_.text(
            {edge, 96.0},
            fmt::format("{}, take {}", settings_text(dusk_.settings), printable(dusk_.take, 28)),
            {plain, ink});
        double y = 96.0;
        for (const std::string& line : sentences_)
            page_.text({edge, y += line_step}, line, {plain, ink, true});
    }

    void draw_key() {
        const double y = chart_.top - 40.0;
        double x = edge;
        const auto entry = [&](const Pen& pen, const char* words, double width) {
            page_.line({x, y - 5.0}, {x + 34.0, y - 5.0}, pen);
            page_.text({x + 42.0, y}, words, {small, ink});
            x += width;
        };
        entry(sky_pen, "sky in the frame", 184.0);
        if (dusk_.has_lamps) entry(lit_pen, "lit ground", 140.0);
        entry(ground_pen, "ground", 100.0);
    }

    /// Burnt out to the right, black to the left.
    void draw_zones() {
        const double bottom = chart_.top + chart_height;
        page_.box({chart_.x_of(burnt_stops), chart_.top},
                  {chart_right - chart_.x_of(burnt_stops), chart_height}, "#f3ead9");
        page_.box({chart_left, chart_.top}, {chart_.x_of(black_stops) - chart_left, chart_height},
                  "#e6e6e9");
        const Lettering below{small, faint, false, Anchor::middle};
        page_.text({0.5 * (chart_left + chart_.x_of(black_stops)), bottom + 20.0}, "black", below);
        page_.text({chart_.x_of(0.0), bottom + 20.0}, "mid-grey", below);
        page_.text({0.5 * (chart_.x_of(burnt_stops) + chart_right), bottom + 20.0}, "burnt out",
                   below);
    }

    void draw_wanted() {
        for (const DuskWindow& window : dusk_.windows) {
            const double from = chart_.y_of(window.from_s);
            const double to = chart_.y_of(window.to_s.value_or(dusk_.span.to_s));
            page_.box({strip_left + strip_width, from},
                      {chart_right - strip_left - strip_width, std::max(to - from, 2.0)},
                      wanted_fill, 0.55);
        }
        page_.line({chart_.x_of(dusk_.want_stops), chart_.top},
                   {chart_.x_of(dusk_.want_stops), chart_.top + chart_height},
                   {wanted_ink, 1.5, "6 4"});
    }

    void draw_times() {
        const int step_min = tick_min(dusk_.span.to_s - dusk_.span.from_s);
        const double step_s = 60.0 * step_min, local_s = 60.0 * report_.place.when.offset_min;
        double t = std::ceil((dusk_.span.from_s + local_s) / step_s) * step_s - local_s;
        for (; t <= dusk_.span.to_s; t += step_s) {
            page_.line({chart_left, chart_.y_of(t)}, {chart_right, chart_.y_of(t)},
                       {rule, 1.0, ""});
            page_.text({strip_left - 8.0, chart_.y_of(t) + 6.0}, clock(t),
                       {plain, ink, false, Anchor::end});
        }
    }

    void draw_stops() {
        const double bottom = chart_.top + chart_height;
        const int every = chart_.high_stops - chart_.low_stops > 14.0 ? 4 : 2;
        for (int stops = static_cast<int>(chart_.low_stops); stops <= chart_.high_stops; ++stops) {
            const bool middle = stops == 0;
            page_.line({chart_.x_of(stops), chart_.top}, {chart_.x_of(stops), bottom},
                       {middle ? faint : rule, middle ? 1.6 : 1.0, ""});
            if (stops % every == 0)
                page_.text({chart_.x_of(stops), chart_.top - 8.0}, signed_text(stops),
                           {plain, ink, false, Anchor::middle});
        }
        page_.text({label_left, chart_.top - 8.0}, "stops from mid-grey", {small, faint});
        page_.outline({chart_left, chart_.top}, {chart_right - chart_left, chart_height},
                      {faint, 1.0, ""});
    }

    /// The sky as it comes out on film.
    void draw_strip() {
        constexpr std::size_t most = 90;
        std::vector<ColourStop> stops;
        const std::size_t count = report_.sky_colours.size();
        const std::size_t step = std::max<std::size_t>(1, count / most);
        for (std::size_t i = 0; i < count; i += step)
            stops.push_back({static_cast<double>(i) / static_cast<double>(count - 1),
                             hex_of(report_.sky_colours[i])});
        const Vec2 corner{strip_left, chart_.top}, size{strip_width, chart_height};
        page_.shaded_box(corner, size, stops);
        page_.outline(corner, size, {faint, 1.0, ""});
    }

    void draw_foot() {
        const double y = chart_.top + chart_height + 50.0;
        page_.text({edge, y}, "Left: the sky as it comes out, white-balanced.", {small, faint});
        page_.text(
            {edge, y + 22.0},
            fmt::format("Dashed: the wanted {}; shaded: while the sky is within half a stop.",
                        stops_text(dusk_.want_stops)),
            {small, faint});
    }

    void draw_curve(double DuskMinute::*stops, const Pen& pen) {
        std::vector<Vec2> points;
        for (const DuskMinute& minute : dusk_.minutes) {
            // Far outside they are cut off, but must be numbers all the same.
            const double held =
                std::clamp(minute.*stops, chart_.low_stops - 50.0, chart_.high_stops + 50.0);
            points.emplace_back(chart_.x_of(held), chart_.y_of(minute.unix_s));
        }
        page_.curve(points, pen, {chart_left, chart_.top},
                    {chart_right - chart_left, chart_height});
    }

    void draw_curves() {
        draw_curve(&DuskMinute::ground_stops, ground_pen);
        if (dusk_.has_lamps) draw_curve(&DuskMinute::lit_ground_stops, lit_pen);
        draw_curve(&DuskMinute::sky_stops, sky_pen);
    }

    void draw_takes() {
        const Pen rim{paper, 2.0, ""};
        for (const DuskTake& take : dusk_.takes) {
            const double opens_s = take.opens.unix_s;
            if (take.has_lamps) draw_dot(take.opens.lit_ground_stops, opens_s, 6.0, lamp_ink, rim);
            draw_dot(take.opens.sky_stops, opens_s, 6.0, sky_ink, rim);
        }
        for (const double unix_s : dusk_.alike_s)
            draw_dot(sky_stops_after(dusk_, unix_s), unix_s, 8.0, "none", {ink, 2.0, ""});
    }

    /// From each moment on the chart to its words.
    void draw_leaders(const std::vector<DuskLabel>& labels) {
        for (const DuskLabel& label : labels) {
            const Pen pen = is_take(label) ? Pen{ink, 1.4, ""} : Pen{faint, 0.8, "2 3"};
            page_.line({chart_left, label.moment_y}, {chart_right, label.moment_y}, pen);
            page_.line({chart_right, label.moment_y}, {label_left - 4.0, label.y}, pen);
        }
    }

    void draw_labels(const std::vector<DuskLabel>& labels) {
        for (const DuskLabel& label : labels) {
            const Lettering lettering{small, ink_of(label.event.kind), is_take(label)};
            page_.text({label_left, label.y + 5.0}, clock(label.event.unix_s), lettering);
            page_.text({label_words_left, label.y + 5.0},
                       printable(label.event.words, label_letters), lettering);
        }
    }

    const DuskReport& report_;
    const Dusk& dusk_;
    std::vector<std::string> sentences_;
    Chart chart_;
    SvgPage page_;
};

}  // namespace

std::string dusk_plot(const DuskReport& report) {
    return DuskPlot(report).drawn();
}

}  // namespace lampflight
