// What the plan from above and the side view have in common: flights, outlines, distances, words.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "cli/drawing/svg_page.h"
#include "cli/sheets/plan_facts.h"
#include "cli/sheets/plan_labels.h"
#include "cli/sheets/plan_layout.h"
#include "cli/sheets/plan_line.h"
#include "cli/sheets/plan_outline.h"

namespace lampflight {

/// Numbers of the answers that a plan gives.
namespace plan_answer {
constexpr int stand = 1, start = 2, height = 3, round = 4, person = 5;
}

/// With more flights than this only their letters stand on the drawings.
constexpr std::size_t most_named_flights = 4;

/// Colour and dashes of a flight, by its place in the list.
Pen flight_pen(std::size_t place);

/// The person, or without one the camera, that a flight comes nearest to, with that flight; null
/// without flights.
struct NearestOfAll {
    const PlannedFlight* flight = nullptr;
    PlanNearest nearest{};
};
NearestOfAll nearest_person(const PlanFacts& facts);

/// One view being drawn.
class PlanDrawing {
public:
    PlanDrawing(SvgPage& page, const PlanView& view, OnDrawing on_page);

    Vec2 on_page(const Vec3& world_m) const { return on_page_(world_m); }

    /// Areas that a mesh covers; a small mark where that is next to nothing.
    void draw_mesh(const Mesh& mesh, const PlannedSubject& subject, const std::string& fill);
    void draw_head(const PlannedSubject& person);
    void draw_lamp(const Vec3& at_m);
    void draw_home(const Vec3& at_m);

    void draw_straying(const PlannedFlight& flight);
    void draw_way(const std::vector<Vec3>& way_m, const Pen& pen);
    /// Line, arrows, start and end.
    void draw_flight(const PlannedFlight& flight, const Pen& pen);
    /// A distance with its figure.
    void draw_nearest(const PlanNearest& nearest, int badge, const std::string& of);

    /// Page points of places, none nearer to the one before than a hair.
    std::vector<Vec2> line_of(const std::vector<Vec3>& way_m) const;
    /// A point about so far along a flight's line on the page, for words.
    std::optional<Vec2> first_arrow(const PlannedFlight& flight) const;

    SvgPage& page;
    const PlanView& view;
    PlanLabels labels;

private:
    std::vector<double> arrow_places(const std::vector<Vec2>& line) const;
    void draw_arrows(const std::vector<Vec2>& line, const Pen& pen);

    OnDrawing on_page_;
};

/// The plan from above.
void draw_above(SvgPage& page, const PlanLayout& layout, const PlanFacts& facts,
                const PlacedShoot& shoot);

/// The side view.
void draw_side(SvgPage& page, const PlanLayout& layout, const PlanFacts& facts,
               const PlacedShoot& shoot);

}  // namespace lampflight
