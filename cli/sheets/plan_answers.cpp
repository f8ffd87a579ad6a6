#include "cli/sheets/plan_answers.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "cli/reports/quantity_text.h"
#include "cli/sheets/plan_drawing.h"
#include "cli/sheets/plan_fix.h"
#include "cli/sheets/plan_words.h"

namespace lampflight {
namespace {

constexpr double gap = 4.0, pad = 5.0;  // points between boxes and within
constexpr std::size_t most_lines = 5;
constexpr std::size_t two_lines_each = 2;  // flights for which there is room for two lines

std::optional<double> declination_of(const Shoot& shoot) {
    return shoot.place ? shoot.place->declination_deg : std::nullopt;
}

std::string way_there(const PlanFix& fix) {
    return fmt::format("{}, {} {}", tape_text(fix.distance_m), fix.paces,
                       fix.paces == 1 ? "pace" : "paces");
}

std::string bearings(const PlanFix& fix) {
    std::string words = fmt::format("bearing {}", bearing_text(fix.bearing_deg));
    if (fix.magnetic_deg) words += fmt::format(" (mag. {})", bearing_text(*fix.magnetic_deg));
    return words;
}

/// What the tripod is measured from: a thing before a person, the nearest of its kind.
struct Landmark {
    std::string name;
    Vec3 at_m;
};

std::optional<Landmark> landmark_of(const PlanFacts& facts, const Shoot& shoot) {
    const PlannedSubject* best = nullptr;
    const auto far_m = [&](const PlannedSubject& subject) {
        return glm::distance(Vec2(subject.foot_m), Vec2(facts.sight.lens_m));
    };
    // What stands far beyond all flights is nothing to pace from.
    double reach_m = 0.0;
    for (const PlannedFlight& flight : facts.flights)
        reach_m = std::max(reach_m,
                           2.0 * glm::distance(Vec2(flight.start_m()), Vec2(facts.sight.lens_m)));
    for (const PlannedSubject& subject : facts.subjects) {
        if (far_m(subject) > reach_m) continue;
        const Vec3 size_m = subject.box.high_m - subject.box.low_m;
        if (std::max(size_m.x, size_m.y) > std::max(10.0, far_m(subject))) continue;  // too wide
        if (!best || subject.is_person < best->is_person ||
            (subject.is_person == best->is_person && far_m(subject) < far_m(*best)))
            best = &subject;
    }
    if (best) return Landmark{best->name, best->foot_m};
    if (!shoot.drones.empty()) return Landmark{"take-off", shoot.drones.front().home_m};
    return std::nullopt;
}

PlanAnswerBox stand_box(const PlanFacts& facts, const Shoot& shoot) {
    PlanAnswerBox box{"Where you stand", {}, 0.21};
    if (const auto mark = landmark_of(facts, shoot)) {
        const PlanFix fix = plan_fix(mark->at_m, facts.sight.lens_m, declination_of(shoot));
        box.lines = {fmt::format("from {}:", mark->name), way_there(fix), bearings(fix)};
    }
    const PlanFix aim = plan_fix({}, Vec3(facts.sight.along, 0.0), declination_of(shoot));
    box.lines.push_back(fmt::format("lens {} up, tilt {}\u00b0{}", tape_text(facts.sight.lens_m.z),
                                    decimal_text(std::abs(facts.tilt_deg), 0),
                                    facts.tilt_deg < -0.5  ? " down"
                                    : facts.tilt_deg > 0.5 ? " up"
                                                           : ""));
    box.lines.push_back(fmt::format("aim: {}", bearings(aim)));
    return box;
}

/// Lines of the first flights, and how many more there are.
template <class Lines>
std::vector<std::string> of_flights(const PlanFacts& facts, Lines lines_of) {
    std::vector<std::string> lines;
    const bool few = facts.flights.size() <= two_lines_each;
    const std::size_t room = facts.flights.size() <= most_lines ? most_lines : most_lines - 1;
    std::size_t told = 0;
    for (; told < facts.flights.size() && lines.size() < room; ++told)
        for (std::string& line : lines_of(facts.flights[told], few))
            lines.push_back(std::move(line));
    if (told < facts.flights.size())
        lines.push_back(fmt::format("and {} more", facts.flights.size() - told));
    if (facts.flights.empty()) lines.push_back("nothing flies");
    return lines;
}

PlanAnswerBox start_box(const PlanFacts& facts, const Shoot& shoot) {
    const auto lines_of = [&](const PlannedFlight& flight, bool few) -> std::vector<std::string> {
        const PlanFix fix = plan_fix(facts.sight.lens_m, flight.start_m(), declination_of(shoot));
        if (few) return {flight.tag + " " + way_there(fix), fmt::format("\u2003{}", bearings(fix))};
        return {fmt::format("{} {} on {}", flight.tag, tape_text(fix.distance_m),
                            bearing_text(fix.bearing_deg))};
    };
    PlanAnswerBox box{"Where it starts", {"from the tripod:"}, 0.195};
    for (std::string& line : of_flights(facts, lines_of)) box.lines.push_back(std::move(line));
    if (box.lines.size() > most_lines) box.lines.erase(box.lines.begin());
    return box;
}

PlanAnswerBox height_box(const PlanFacts& facts) {
    const auto lines_of = [](const PlannedFlight& flight, bool few) -> std::vector<std::string> {
        const std::string low = decimal_text(flight.lowest_m, 1);
        const std::string range = low == decimal_text(flight.highest_m, 1)
                                      ? "all the way"
                                      : fmt::format("{} to {}", low, tape_text(flight.highest_m));
        if (few)
            return {fmt::format("{} starts {} up", flight.tag, tape_text(flight.start_m().z)),
                    fmt::format("\u2003{}", range)};
        return {fmt::format("{} {}; {}", flight.tag, decimal_text(flight.start_m().z, 1), range)};
    };
    PlanAnswerBox box{"How high", of_flights(facts, lines_of), 0.185};
    if (facts.flights.size() > two_lines_each && box.lines.size() < most_lines)
        box.lines.insert(box.lines.begin(), "start; lowest to top");
    return box;
}

PlanAnswerBox round_box(const PlanFacts& facts) {
    constexpr std::size_t seen_from = 11;  // letters of " seen from "
    const bool alone = facts.flights.size() == 1;
    const auto lines_of = [&](const PlannedFlight& flight, bool few) -> std::vector<std::string> {
        const std::size_t from = flight.way_round.find(" seen from ");
        if (from == std::string::npos) return {flight.tag + " " + flight.way_round};
        const std::string sense = flight.tag + " " + flight.way_round.substr(0, from);
        const std::string where = flight.way_round.substr(from + seen_from);
        if (alone) return {sense, "\u2003seen from", fmt::format("\u2003{}", where)};
        if (few) return {sense, fmt::format("\u2003({})", where)};
        return {sense + (flight.way_round.ends_with("above") ? ", above" : ", camera")};
    };
    PlanAnswerBox box{"Which way round", of_flights(facts, lines_of), 0.225};
    if (facts.flights.size() > two_lines_each && box.lines.size() < most_lines)
        box.lines.insert(box.lines.begin(), "seen from:");
    return box;
}

PlanAnswerBox person_box(const PlanFacts& facts) {
    PlanAnswerBox box{"Nearest person", {}, 0.185};
    const NearestOfAll nearest = nearest_person(facts);
    if (!nearest.flight) return box;
    if (nearest.flight->person) {
        constexpr double room = 88.0;
        box.lines = folded(fmt::format("{} to {}", nearest.flight->tag, nearest.nearest.name),
                           plan_letter, room);
        if (box.lines.size() > 2) box.lines.resize(2);
        box.lines.insert(box.lines.begin(), tape_text(nearest.nearest.apart_m));
        const auto camera = std::ranges::min_element(
            facts.flights, {}, [](const PlannedFlight& one) { return one.camera.apart_m; });
        box.lines.push_back(fmt::format("to you {}", tape_text(camera->camera.apart_m)));
    } else {
        box.lines = {tape_text(nearest.nearest.apart_m), nearest.flight->tag + " to you, here",
                     "no other person", "is in the scene"};
    }
    return box;
}

}  // namespace

std::vector<PlanAnswerBox> plan_answers(const PlanFacts& facts, const Shoot& shoot) {
    return {stand_box(facts, shoot), start_box(facts, shoot), height_box(facts), round_box(facts),
            person_box(facts)};
}

bool has_round_sketch(const PlanFacts& facts) {
    return !facts.flights.empty() && facts.flights.size() <= two_lines_each;
}

PixelBox round_sketch_room(const Vec2& corner, double width,
                           const std::vector<PlanAnswerBox>& answers) {
    constexpr double wide = 52.0, from_top = 19.0;
    double right = corner.x;
    for (int i = 0; i < plan_answer::round; ++i)
        right += answers[static_cast<std::size_t>(i)].width * width;
    return {right - gap - pad - wide + 2.0, corner.y + from_top, wide,
            answer_boxes_height - from_top - 4.0};
}

void draw_answers(SvgPage& page, const Vec2& corner, double width,
                  const std::vector<PlanAnswerBox>& answers) {
    constexpr double step = 10.6, large = 13.0;
    double left = corner.x;
    int number = 0;
    for (const PlanAnswerBox& box : answers) {
        const bool last = ++number == static_cast<int>(answers.size());
        const double wide = box.width * width - (last ? 0.0 : gap);
        page.outline({left, corner.y}, {wide, answer_boxes_height}, {plan_ink, 0.9, ""});
        draw_badge(page, {left + pad + badge_radius, corner.y + 10.0}, number);
        page.text({left + pad + 2.0 * badge_radius + 4.0, corner.y + 13.2},
                  fitted(box.question, 8.5, wide - 2.0 * badge_radius - pad - 4.0, true),
                  {8.5, plan_ink, true});
        double foot = corner.y + 27.5;
        for (std::size_t i = 0; i < box.lines.size(); ++i, foot += step) {
            const bool first = last && i == 0;  // one figure alone
            if (first) foot += 3.0;
            const double size = first ? large : plan_letter;
            page.text({left + pad, foot}, fitted(box.lines[i], size, wide - 2.0 * pad + 1.0, first),
                      {size, plan_ink, first});
        }
        left += box.width * width;
    }
}

}  // namespace lampflight
