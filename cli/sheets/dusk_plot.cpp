#include "cli/sheets/dusk_plot.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>

#include <fmt/format.h>

#include "cli/drawing/svg_page.h"
#include "cli/reports/table.h"
#include "renderer/develop/tone.h"
#include "renderer/meter/exposure_steps.h"
#include "scene/basics/wording.h"

namespace lampflight {
namespace {

constexpr double page_width = 640.0;
constexpr double edge = 20.0;
constexpr double strip_left = 76.0, strip_width = 26.0;
constexpr double chart_left = 112.0, chart_right = 436.0;
constexpr double label_left = 456.0, label_words_left = 504.0;
constexpr double chart_height = 760.0;
constexpr double foot_height = 92.0;
constexpr double label_step = 22.0, line_step = 24.0;
constexpr double small = 16.0, plain = 18.0;
constexpr std::size_t head_letters = 66, label_letters = 17;

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

/// A label beside the chart, at its moment or as near as the others leave room.
struct Label {
    double moment_y;
    std::string clock;
    std::string words;
    std::string colour;
    bool bold;
    double y = 0.0;
};

/// Spreads labels (in order) so that none lies on another.
void spread(std::vector<Label>& labels, double top, double bottom) {
    if (labels.empty()) return;
    const double room = (bottom - top) / static_cast<double>(labels.size());
    const double step = std::min(label_step, room);
    double next = top;
    for (Label& label : labels) {
        label.y = std::max(label.moment_y, next);
        next = label.y + step;
    }
    double limit = bottom;
    for (auto label = labels.rbegin(); label != labels.rend(); ++label) {
        label->y = std::min(label->y, limit);
        limit = label->y - step;
    }
}

/// Every so many minutes that a page holds well.
int tick_min(double span_s) {
    for (const int minutes : {5, 10, 15, 20, 30, 60, 120, 180})
        if (span_s / (60.0 * minutes) <= 14.0) return minutes;
    return 240;
}

class DuskPlot {
public:
    explicit DuskPlot(const DuskReport& report)
        : report_(report),
          dusk_(report.dusk),
          sentences_(head_lines(report)),
          chart_top_(172.0 + line_step * static_cast<double>(sentences_.size())),
          page_(page_width, chart_top_ + chart_height + foot_height, page_title(report),
                description(report)) {
        set_range();
    }

    std::string drawn() {
        page_.box({0.0, 0.0}, {page_width, chart_top_ + chart_height + foot_height}, paper);
        draw_head();
        draw_key();
        draw_zones();
        draw_wanted();
        draw_times();
        draw_stops();
        draw_strip();
        draw_foot();
        const std::vector<Label> labels = placed_labels();
        draw_leaders(labels);
        draw_curves();
        draw_takes();
        draw_labels(labels);
        return page_.str();
    }

private:
    static std::string page_title(const DuskReport& report) {
        return report.title.empty() ? "Dusk" : report.title;
    }
    static std::vector<std::string> head_lines(const DuskReport& report) {
        std::vector<std::string> lines;
        for (const std::string& sentence : dusk_sentences(report))
            for (const std::string& line : wrapped(sentence, head_letters)) lines.push_back(line);
        return lines;
    }
    static std::string description(const DuskReport& report) {
        std::string text;
        for (const std::string& sentence : dusk_sentences(report)) text += sentence + ". ";
        return text;
    }

    /// What is burnt or black is so however much; but the sky at its nearest to the wanted, the
    /// takes' skies and the light of the lamps should come into view.
    void set_range() {
        constexpr double lowest = -11.5, curves_to = 6.0, takes_to = 9.0, spare = 0.7;
        double darkest = 0.0, brightest = 0.0, shown = 1e9;
        for (const DuskMinute& minute : dusk_.minutes) {
            darkest = std::min({darkest, minute.sky_stops, minute.ground_stops});
            brightest = std::max(brightest, minute.lit_ground_stops);
            shown = std::min(shown, minute.lit_ground_stops);
        }
        for (const DuskTake& take : dusk_.takes) shown = std::max(shown, take.opens.sky_stops);
        const double nearest = dusk_.nearest.sky_stops;
        low_stops_ = std::floor(std::min({black_stops - 1.0, dusk_.want_stops - 1.0,
                                          nearest - spare, std::max(darkest - spare, lowest)}));
        high_stops_ = std::ceil(
            std::max({burnt_stops + 1.0, dusk_.want_stops + 1.0, nearest + spare,
                      std::min(brightest + spare, curves_to), std::min(shown + spare, takes_to)}));
    }

    double x_of(double stops) const {
        return chart_left +
               (chart_right - chart_left) * (stops - low_stops_) / (high_stops_ - low_stops_);
    }
    double y_of(double unix_s) const {
        return chart_top_ +
               chart_height * (unix_s - dusk_.span.from_s) / (dusk_.span.to_s - dusk_.span.from_s);
    }
    /// Nothing where it lies beyond the chart.
    void draw_dot(double stops, double unix_s, double radius, const std::string& fill,
                  const Pen& rim) {
        if (stops >= low_stops_ && stops <= high_stops_)
            page_.dot({x_of(stops), y_of(unix_s)}, radius, fill, rim);
    }
    std::string clock(double unix_s) const {
        return clock_text({unix_s, report_.place.when.offset_min});
    }

    void draw_head() {
        page_.text({edge, 44.0}, printable(page_title(report_), 44), {25.0, ink, true});
        const std::string moment =
            date_time_text({dusk_.minutes.front().unix_s, report_.place.when.offset_min});
        const Place& place = report_.place;
        page_.text(
            {edge, 72.0},
            fmt::format("{} \u00b7 clock {} \u00b7 {:.4f} {} {:.4f} {}", moment.substr(0, 10),
                        moment.substr(19), std::abs(place.latitude_deg),
                        place.latitude_deg < 0.0 ? 'S' : 'N', std::abs(place.longitude_deg),
                        place.longitude_deg < 0.0 ? 'W' : 'E'),
            {plain, faint});
        page_.text(
            {edge, 96.0},
            fmt::format("{}, take {}", settings_text(dusk_.settings), printable(dusk_.take, 28)),
            {plain, ink});
        double y = 96.0;
        for (const std::string& line : sentences_)
            page_.text({edge, y += line_step}, line, {plain, ink, true});
    }

    void draw_key() {
        const double y = chart_top_ - 40.0;
        double x = edge;
        const auto entry = [&](const Pen& pen, const char* words, double width) {
            page_.line({x, y - 5.0}, {x + 34.0, y - 5.0}, pen);
            page_.text({x + 42.0, y}, words, {small, ink});
            x += width;
        };
        entry(sky_pen(), "sky in the frame", 184.0);
        if (dusk_.has_lamps) entry(lit_pen(), "ground with the lamps", 228.0);
        entry(ground_pen(), dusk_.has_lamps ? "ground without" : "ground", 100.0);
    }

    static Pen sky_pen() { return {sky_ink, 4.0, ""}; }
    static Pen lit_pen() { return {lamp_ink, 4.0, "14 5"}; }
    static Pen ground_pen() { return {ground_ink, 2.5, "3 4"}; }

    /// Burnt out to the right, black to the left.
    void draw_zones() {
        const double bottom = chart_top_ + chart_height;
        page_.box({x_of(burnt_stops), chart_top_}, {chart_right - x_of(burnt_stops), chart_height},
                  "#f3ead9");
        page_.box({chart_left, chart_top_}, {x_of(black_stops) - chart_left, chart_height},
                  "#e6e6e9");
        const Lettering below{small, faint, false, Anchor::middle};
        page_.text({0.5 * (chart_left + x_of(black_stops)), bottom + 20.0}, "black", below);
        page_.text({x_of(0.0), bottom + 20.0}, "mid-grey", below);
        page_.text({0.5 * (x_of(burnt_stops) + chart_right), bottom + 20.0}, "burnt", below);
    }

    void draw_wanted() {
        for (const DuskWindow& window : dusk_.windows) {
            const double from = y_of(window.from_s);
            const double to = y_of(window.to_s.value_or(dusk_.span.to_s));
            page_.box({strip_left + strip_width, from},
                      {chart_right - strip_left - strip_width, std::max(to - from, 2.0)},
                      wanted_fill, 0.55);
        }
        page_.line({x_of(dusk_.want_stops), chart_top_},
                   {x_of(dusk_.want_stops), chart_top_ + chart_height}, {wanted_ink, 1.5, "6 4"});
    }

    void draw_times() {
        const int step_min = tick_min(dusk_.span.to_s - dusk_.span.from_s);
        const double step_s = 60.0 * step_min, local_s = 60.0 * report_.place.when.offset_min;
        double t = std::ceil((dusk_.span.from_s + local_s) / step_s) * step_s - local_s;
        for (; t <= dusk_.span.to_s; t += step_s) {
            page_.line({chart_left, y_of(t)}, {chart_right, y_of(t)}, {rule, 1.0, ""});
            page_.text({strip_left - 8.0, y_of(t) + 6.0}, clock(t).substr(0, 5),
                       {plain, ink, false, Anchor::end});
        }
    }

    void draw_stops() {
        const double bottom = chart_top_ + chart_height;
        const int every = high_stops_ - low_stops_ > 14.0 ? 4 : 2;
        for (int stops = static_cast<int>(low_stops_); stops <= high_stops_; ++stops) {
            const bool middle = stops == 0;
            page_.line({x_of(stops), chart_top_}, {x_of(stops), bottom},
                       {middle ? faint : rule, middle ? 1.6 : 1.0, ""});
            if (stops % every == 0)
                page_.text({x_of(stops), chart_top_ - 8.0}, signed_text(stops),
                           {plain, ink, false, Anchor::middle});
        }
        page_.text({label_left, chart_top_ - 8.0}, "stops from mid-grey", {small, faint});
        page_.outline({chart_left, chart_top_}, {chart_right - chart_left, chart_height},
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
        const Vec2 corner{strip_left, chart_top_}, size{strip_width, chart_height};
        page_.shaded_box(corner, size, stops);
        page_.outline(corner, size, {faint, 1.0, ""});
    }

    void draw_foot() {
        const double y = chart_top_ + chart_height + 50.0;
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
            const double held = std::clamp(minute.*stops, low_stops_ - 50.0, high_stops_ + 50.0);
            points.emplace_back(x_of(held), y_of(minute.unix_s));
        }
        page_.curve(points, pen, {chart_left, chart_top_},
                    {chart_right - chart_left, chart_height});
    }

    void draw_curves() {
        draw_curve(&DuskMinute::ground_stops, ground_pen());
        if (dusk_.has_lamps) draw_curve(&DuskMinute::lit_ground_stops, lit_pen());
        draw_curve(&DuskMinute::sky_stops, sky_pen());
    }

    void draw_takes() {
        const Pen rim{paper, 2.0, ""};
        for (const DuskTake& take : dusk_.takes) {
            const double opens_s = take.opens.unix_s;
            if (take.has_lamps) draw_dot(take.opens.lit_ground_stops, opens_s, 6.0, lamp_ink, rim);
            draw_dot(take.opens.sky_stops, opens_s, 6.0, sky_ink, rim);
        }
        for (const double unix_s : dusk_.alike_s)
            draw_dot(sky_after(unix_s), unix_s, 8.0, "none", {ink, 2.0, ""});
    }

    std::vector<Label> placed_labels() const {
        std::vector<DuskEvent> events = events_of(dusk_);
        const auto add = [&](double unix_s, DuskEvent::Kind kind, const char* words) {
            events.push_back({unix_s, kind, {}});
            events.back().words = words;
        };
        for (const DuskWindow& window : dusk_.windows) {
            add(window.from_s, DuskEvent::Kind::window, "sky as wanted");
            if (!window.to_s) continue;
            const bool darkens = sky_after(*window.to_s) < dusk_.want_stops;
            add(*window.to_s, DuskEvent::Kind::window, darkens ? "sky too dark" : "sky too bright");
        }
        for (const double unix_s : dusk_.alike_s)
            add(unix_s, DuskEvent::Kind::alike, "sky = lit ground");
        std::stable_sort(events.begin(), events.end(),
                         [](const auto& a, const auto& b) { return a.unix_s < b.unix_s; });
        std::vector<Label> labels;
        for (const DuskEvent& event : events) labels.push_back(label_of(event));
        spread(labels, chart_top_ + 8.0, chart_top_ + chart_height - 2.0);
        return labels;
    }

    /// Stops of the sky in the first minute after a time.
    double sky_after(double unix_s) const {
        const auto minute =
            std::find_if(dusk_.minutes.begin(), dusk_.minutes.end(),
                         [&](const DuskMinute& after) { return after.unix_s >= unix_s; });
        return minute == dusk_.minutes.end() ? dusk_.minutes.back().sky_stops : minute->sky_stops;
    }

    Label label_of(const DuskEvent& event) const {
        Label label{y_of(event.unix_s), clock(event.unix_s).substr(0, 5),
                    printable(event.words, label_letters), faint, false};
        if (event.kind == DuskEvent::Kind::take) {
            label.colour = ink;
            label.bold = true;
        }
        if (event.kind == DuskEvent::Kind::window) label.colour = wanted_ink;
        if (event.kind == DuskEvent::Kind::alike) label.colour = ink;
        return label;
    }

    /// From each moment on the chart to its words.
    void draw_leaders(const std::vector<Label>& labels) {
        for (const Label& label : labels) {
            const Pen pen{label.bold ? ink : faint, label.bold ? 1.4 : 0.8,
                          label.bold ? "" : "2 3"};
            page_.line({chart_left, label.moment_y}, {chart_right, label.moment_y}, pen);
            page_.line({chart_right, label.moment_y}, {label_left - 4.0, label.y}, pen);
        }
    }

    void draw_labels(const std::vector<Label>& labels) {
        for (const Label& label : labels) {
            page_.text({label_left, label.y + 5.0}, label.clock, {small, label.colour, label.bold});
            page_.text({label_words_left, label.y + 5.0}, label.words,
                       {small, label.colour, label.bold});
        }
    }

    const DuskReport& report_;
    const Dusk& dusk_;
    std::vector<std::string> sentences_;
    double chart_top_;
    SvgPage page_;
    double low_stops_ = 0.0;
    double high_stops_ = 1.0;
};

}  // namespace

std::string dusk_plot(const DuskReport& report) {
    return DuskPlot(report).drawn();
}

}  // namespace lampflight
