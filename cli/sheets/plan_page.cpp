#include "cli/sheets/plan_page.h"

#include <algorithm>

#include <fmt/format.h>

#include "cli/reports/quantity_text.h"
#include "cli/sheets/plan_answers.h"
#include "cli/sheets/plan_drawing.h"
#include "cli/sheets/plan_lists.h"
#include "cli/sheets/plan_seen.h"
#include "scene/basics/wording.h"

namespace lampflight {
namespace {

// A4 in points.
constexpr double page_width = 595.0, page_height = 842.0;
const Vec2 paper_mm(210.0, 297.0);
constexpr double margin = 24.0;
constexpr double inner = page_width - 2.0 * margin;

constexpr double answers_top = 66.0;
constexpr std::size_t most_places = 8, most_flights = 6;
constexpr std::size_t most_caution_lines = 9;
constexpr double level_width = 36.0;

std::string title_of(const Shoot& shoot) {
    return shoot.title.empty() ? "Set-up plan" : shoot.title;
}

std::string place_line(const ShootFigures& figures) {
    if (!figures.place) return "No place is stated: bearings are from the scene's north.";
    const Place& place = figures.place->place;
    const std::string when = date_time_text(figures.place->first.when);
    return fmt::format(
        "{}, {} by a clock at {}; {:.4f} {}, {:.4f} {}, {:.0f} m up", when.substr(0, 10),
        minute_text(figures.place->first.when), offset_text(figures.place->first.when.offset_min),
        std::abs(place.latitude_deg), place.latitude_deg < 0.0 ? 'S' : 'N',
        std::abs(place.longitude_deg), place.longitude_deg < 0.0 ? 'W' : 'E', place.elevation_m);
}

std::string takes_line(const ShootFigures& figures, double focal_mm) {
    std::string words = fmt::format(
        "{} mm: view {}\u00b0 across, {}\u00b0 down.", number_text(focal_mm),
        decimal_text(figures.field_of_view_deg.x, 0), decimal_text(figures.field_of_view_deg.y, 0));
    for (const TakeFigures& take : figures.takes)
        words += fmt::format(" {}: {}.", take.name, settings_text(take.settings));
    return words;
}

std::string description_of(const std::vector<PlanAnswerBox>& answers) {
    std::string words;
    for (const PlanAnswerBox& answer : answers) {
        words += answer.question + ":";
        for (const std::string& line : answer.lines) words += " " + line;
        words += ". ";
    }
    return words;
}

class SetUpPlan {
public:
    SetUpPlan(const PlacedShoot& shoot, const ShootFigures& figures)
        : shoot_(shoot),
          figures_(figures),
          facts_(plan_facts(shoot)),
          answers_(plan_answers(facts_, shoot)),
          page_(page_width, page_height, title_of(shoot), description_of(answers_), paper_mm) {}

    std::string drawn() {
        page_.box({0.0, 0.0}, {page_width, page_height}, "#ffffff");
        draw_head();
        const double lists_from = draw_lists();
        draw_drawings(answers_top + answer_boxes_height + 5.0, lists_from - 8.0);
        return page_.str();
    }

private:
    void say(double foot, const std::string& words, const Lettering& lettering) {
        page_.text({margin, foot}, fitted(words, lettering.size, inner, lettering.bold), lettering);
    }

    void draw_head() {
        say(38.0, title_of(shoot_), {15.0, plan_ink, true});
        say(50.0, place_line(figures_), {8.5, plan_ink});
        say(60.5, takes_line(figures_, shoot_.camera.focal_mm), {plan_letter, plan_ink});
        draw_answers(page_, {margin, answers_top}, inner, answers_);
        if (has_round_sketch(facts_))
            draw_seen(page_, round_sketch_room({margin, answers_top}, inner, answers_), facts_,
                      shoot_.camera);
    }

    /// From the page's foot upwards; gives where they begin.
    double draw_lists() {
        const PlanTable places = places_table(facts_, shoot_, most_places);
        const PlanTable flights = flights_table(facts_, most_flights);
        const std::vector<PlanCautionLine> cautions =
            caution_lines(figures_.cautions, inner - level_width, most_caution_lines);
        std::vector<std::string> notes = notes_under_drawings();
        constexpr double gap = 7.0, foot_line = 13.0;
        const double cautions_high = plan_row_step * static_cast<double>(cautions.size());
        const double notes_high = plan_row_step * static_cast<double>(notes.size());
        double top = page_height - margin - foot_line - cautions_high - gap - flights.height() -
                     gap - places.height() - gap - notes_high;
        const double from = top;
        for (std::size_t i = 0; i < notes.size(); ++i)
            say(top + 7.0 + plan_row_step * static_cast<double>(i), notes[i],
                {plan_letter, plan_ink});
        top += notes_high + gap;
        draw_table(page_, {margin, top}, inner, places);
        top += places.height() + gap;
        draw_table(page_, {margin, top}, inner, flights);
        top += flights.height() + gap;
        for (const PlanCautionLine& line : cautions) {
            page_.text({margin, top + 7.0}, line.level, {plan_letter, plan_ink, true});
            page_.text({margin + level_width, top + 7.0}, line.words, {plan_letter, plan_ink});
            top += plan_row_step;
        }
        page_.line({margin, page_height - margin - 11.0},
                   {margin + inner, page_height - margin - 11.0}, {plan_ink, 0.6, ""});
        say(page_height - margin - 1.5,
            "This page knows neither rules nor airspace: look both up for this place and this day.",
            {plan_letter, plan_ink, true});
        return from;
    }

    std::vector<std::string> notes_under_drawings() const {
        std::vector<std::string> notes{
            "Ring: start. Square: end. Crossed square: take-off.",
            fmt::format("A pace is 0.75 m (common practice). Bearings: {} north. Heights: over level "
                        "0 m. Person, thing, you: nearest, through the air.",
                        shoot_.place ? "true" : "the scene's")};
        if (std::ranges::any_of(facts_.subjects, &PlannedSubject::is_person))
            notes.front() += " Dotted circle: 5 m about a person (common practice, no rule).";
        const bool strays = std::ranges::any_of(
            facts_.flights, [](const PlannedFlight& flight) { return flight.strays_m > 0.0; });
        std::string more = battery_sentence(shoot_);
        if (!more.empty()) more += ". ";
        if (strays) more += "Pale band: as far as a flight may well stray. ";
        if (facts_.drones)
            more += fmt::format("Drones of {} come within {} m of each other.", facts_.drones->name,
                                decimal_text(facts_.drones->apart_m, 1));
        if (!more.empty()) notes.push_back(more);
        return notes;
    }

    void draw_drawings(double top, double bottom) {
        constexpr double caption = 11.0;
        const PixelBox room{margin, top + caption, inner, bottom - top - caption};
        const PlanLayout layout = plan_layout(plan_frame(facts_, shoot_, room), room);
        say(top + 7.5,
            "From above, and below it from the side, at one scale. The camera looks to the right.",
            {plan_letter, plan_ink});
        draw_above(page_, layout, facts_, shoot_);
        draw_side(page_, layout, facts_, shoot_);
    }

    const PlacedShoot& shoot_;
    const ShootFigures& figures_;
    PlanFacts facts_;
    std::vector<PlanAnswerBox> answers_;
    SvgPage page_;
};

}  // namespace

std::string plan_page(const PlacedShoot& shoot, const ShootFigures& figures) {
    return SetUpPlan(shoot, figures).drawn();
}

}  // namespace lampflight
