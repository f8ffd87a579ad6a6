// The set-up plan: bearings, paces, scale and outlines by hand; the page as XML.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <string>

#include <expat.h>

#include "cli/sheets/plan_fix.h"
#include "cli/sheets/plan_furniture.h"
#include "cli/sheets/plan_lists.h"
#include "cli/sheets/plan_outline.h"
#include "cli/sheets/plan_page.h"
#include "cli/sheets/plan_way.h"
#include "scene/basics/angle.h"
#include "scene/subjects/models/models.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

/// A camera that looks north at a circle, and a person off its way.
PlacedShoot planned_shoot() {
    PlacedShoot shoot;
    shoot.title = "Plain";
    shoot.camera.position_m = {0.0, -10.0, 1.5};
    Flight flight;
    flight.name = "halo";
    shoot.flights = {flight};
    Subject walker;
    walker.name = "walker";
    walker.model = Model::person;
    walker.position_m = {12.0, 0.0, 0.0};
    shoot.subjects = {walker};
    shoot.meshes = {person_mesh()};
    place(shoot.meshes.front(), 180.0, 1.0, walker.position_m);
    Take take;
    take.name = "one";
    take.flights = {"halo"};
    shoot.takes = {take};
    shoot.photograph.takes = {"one"};
    return shoot;
}

std::string page_of(const PlacedShoot& shoot) {
    return plan_page(shoot, shoot_figures(shoot));
}

bool is_well_formed(const std::string& text) {
    XML_Parser parser = XML_ParserCreate(nullptr);
    const bool well_formed =
        XML_Parse(parser, text.data(), static_cast<int>(text.size()), XML_TRUE) == XML_STATUS_OK;
    CHECK_MESSAGE(well_formed, XML_ErrorString(XML_GetErrorCode(parser)));
    XML_ParserFree(parser);
    return well_formed;
}

/// A square of triangles in the level plane, its corner at a place.
void add_square(Mesh& mesh, float x, float y) {
    const auto first = static_cast<std::uint32_t>(mesh.positions.size());
    for (const auto& corner :
         {glm::vec3(0, 0, 0), glm::vec3(1, 0, 0), glm::vec3(1, 1, 0), glm::vec3(0, 1, 0)})
        mesh.positions.push_back(corner + glm::vec3(x, y, 0));
    mesh.triangles.push_back({first, first + 1, first + 2});
    mesh.triangles.push_back({first, first + 2, first + 3});
}

double area_of(const std::vector<Outline>& outlines) {
    double sum = 0.0;
    for (const Outline& outline : outlines)
        for (std::size_t i = 0; i < outline.size(); ++i) {
            const Vec2& from = outline[i];
            const Vec2& to = outline[(i + 1) % outline.size()];
            sum += 0.5 * (from.x * to.y - from.y * to.x);
        }
    return std::abs(sum);
}

}  // namespace

TEST_CASE("plan: places are told as a compass, a tape and paces find them") {
    // 10 m due north; paces of 0.75 m: 13.3. Magnetic = true - declination, east positive.
    const PlanFix north = plan_fix({1.0, 2.0, 1.5}, {1.0, 12.0, 8.0}, 5.0);
    CHECK(bearing_text(north.bearing_deg) == "0\u00b0");
    REQUIRE(north.magnetic_deg);
    CHECK(bearing_text(*north.magnetic_deg) == "355\u00b0");
    CHECK(tape_text(north.distance_m) == "10.0 m");
    CHECK(north.paces == 13);
    const PlanFix west = plan_fix({}, {-3.0, 0.0, 0.0}, -100.0);
    CHECK(west.bearing_deg == doctest::Approx(270.0));
    CHECK(*west.magnetic_deg == doctest::Approx(10.0));
    CHECK(west.east_north_m.x == doctest::Approx(-3.0));
    CHECK(!plan_fix({}, {1.0, 1.0, 0.0}, std::nullopt).magnetic_deg);
    CHECK(plan_fix({}, {0.0, 0.0, 5.0}, std::nullopt).bearing_deg == 0.0);
    CHECK(bearing_text(359.6) == "0\u00b0");
}

TEST_CASE("plan: what is drawn is to the scale that is told") {
    const PlacedShoot shoot = planned_shoot();
    const PlanFacts facts = plan_facts(shoot);
    const PixelBox room{24.0, 150.0, 547.0, 400.0};
    const PlanLayout layout = plan_layout(plan_frame(facts, shoot, room), room);
    // A metre at 1 : n is 1000 / n millimetres, and a point 25.4 / 72 of those.
    CHECK(layout.points_of_m() == doctest::Approx(1000.0 / layout.scale / (25.4 / 72.0)));
    const double bar_mm = scale_bar_m(layout) * 1000.0 / layout.scale;
    CHECK(bar_mm > 20.0);
    CHECK(bar_mm < 80.0);
    // The camera looks north: north is to the right, west is up.
    const Vec2 lens = layout.above.on_page(facts.sight.from_above(facts.sight.lens_m));
    const Vec2 there = layout.above.on_page(facts.sight.from_above({-2.0, -5.0, 0.0}));
    CHECK(there.x - lens.x == doctest::Approx(5.0 * layout.points_of_m()));
    CHECK(lens.y - there.y == doctest::Approx(2.0 * layout.points_of_m()));
    for (const PlannedFlight& flight : facts.flights)
        for (const Vec3& place_m : flight.way_m) {
            CHECK(layout.above.shows(layout.above.on_page(facts.sight.from_above(place_m))));
            CHECK(layout.side.shows(layout.side.on_page(facts.sight.from_side(place_m))));
        }
}

TEST_CASE("plan: an outline has the area of what is seen, and holes stay open") {
    const auto from_above = [](const Vec3& world_m) { return Vec2(world_m); };
    constexpr double cell = 0.01;
    const PixelBox room{-10.0, -10.0, 20.0, 20.0};
    Mesh corner;  // three squares about a corner
    for (const auto& at : {Vec2(0.0, 0.0), Vec2(1.0, 0.0), Vec2(0.0, 1.0)})
        add_square(corner, static_cast<float>(at.x), static_cast<float>(at.y));
    const std::vector<Outline> angled = outlines_of(corner, from_above, room, cell);
    CHECK(angled.size() == 1);
    // Its edge of 8 m may lie a cell outside.
    CHECK(std::abs(area_of(angled) - 3.0) < 8.0 * cell);
    Mesh frame;  // eight about a hole
    for (int x = 0; x < 3; ++x)
        for (int y = 0; y < 3; ++y)
            if (x != 1 || y != 1) add_square(frame, static_cast<float>(x), static_cast<float>(y));
    const std::vector<Outline> holed = outlines_of(frame, from_above, room, cell);
    CHECK(holed.size() == 2);
    CHECK(std::abs(area_of(holed) - 8.0) < 16.0 * cell);
    CHECK(outlines_of(frame, from_above, {20.0, 20.0, 5.0, 5.0}, cell).empty());
    CHECK(outlines_of({}, from_above, room, cell).empty());
}

TEST_CASE("plan: heights, nearest distances and the way round are those of the flight") {
    PlacedShoot shoot = planned_shoot();
    const PlanFacts facts = plan_facts(shoot);
    REQUIRE(facts.flights.size() == 1);
    const PlannedFlight& halo = facts.flights.front();
    CHECK(halo.lowest_m == doctest::Approx(8.0));
    CHECK(halo.highest_m == doctest::Approx(8.0));
    CHECK(halo.ends_at_start());
    CHECK(halo.way_round == "clockwise seen from above");
    // From (5, 0, 8) to a head at (12, 0, 1.75), some 0.1 m about that.
    REQUIRE(halo.person);
    CHECK(std::abs(halo.person->apart_m - std::hypot(7.0, 6.25)) < 0.3);
    CHECK(facts.bearing_deg == doctest::Approx(0.0));
    shoot.flights.front().clockwise = false;
    CHECK(plan_facts(shoot).flights.front().way_round == "anticlockwise seen from above");
    shoot.flights.front().shape = FlightShape::ring;
    shoot.flights.front().facing_deg = 180.0;
    shoot.flights.front().clockwise = true;
    CHECK(plan_facts(shoot).flights.front().way_round == "clockwise seen from the camera");
    CHECK(tag_of(0) == "A");
    CHECK(tag_of(25) == "Z");
    CHECK(tag_of(26) == "AA");
    CHECK(tag_of(53) == "BB");
}

TEST_CASE("plan: the page is well-formed and safe whatever the names") {
    PlacedShoot shoot = planned_shoot();
    const std::string name = "<&>\"' ]]> </text><script>" + std::string(130, 'w');
    shoot.title = name;
    shoot.subjects.front().name = name;
    shoot.flights.front().name = name;
    shoot.takes.front().name = name;
    shoot.takes.front().flights = {name};
    const std::string page = page_of(shoot);
    CHECK(is_well_formed(page));
    CHECK(page.find("<script") == std::string::npos);
    CHECK(page.find("nan") == std::string::npos);
    CHECK(page.find("inf") == std::string::npos);
    CHECK(page.find("width=\"210mm\" height=\"297mm\"") != std::string::npos);
}

TEST_CASE("plan: of many flights the first are listed and the others counted") {
    PlacedShoot shoot = planned_shoot();
    const Flight first = shoot.flights.front();
    for (int i = 1; i < 48; ++i) {
        Flight other = first;
        other.name = "halo " + std::to_string(i);
        other.centre_m = {3.0 * (i % 8), 3.0 * (i / 8)};
        shoot.flights.push_back(other);
        shoot.takes.front().flights.push_back(other.name);
    }
    const PlanFacts facts = plan_facts(shoot);
    CHECK(facts.flights.size() == 48);
    const PlanTable table = flights_table(facts, 6);
    CHECK(table.rows.size() == 6);
    CHECK(table.more == "and 42 more flights");
    const std::string page = page_of(shoot);
    CHECK(is_well_formed(page));
    CHECK(page.find("and 42 more flights") != std::string::npos);
}
