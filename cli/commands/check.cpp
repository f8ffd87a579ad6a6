// `lampflight check`: is the shoot sound, and what are its numbers.
#include <algorithm>
#include <filesystem>
#include <memory>
#include <optional>
#include <string>

#include <fmt/format.h>
#include <CLI/CLI.hpp>

#include "cli/commands/commands.h"
#include "cli/commands/help_page.h"
#include "cli/commands/shared_options.h"
#include "cli/pictures/write_picture.h"
#include "cli/reports/check_report.h"
#include "cli/session/output_width.h"
#include "cli/session/whole_file.h"
#include "cli/sheets/plan_page.h"
#include "scene/basics/wording.h"

namespace lampflight {
namespace {

struct CheckWords {
    SceneWords scene;
    bool json = false;
    bool strict = false;
    std::string plan;  ///< empty for none
    std::optional<double> memory_gb{};
};

/// The figures; with --strict, exit code 5 where a caution is a danger.
Outcome checked(const ShootFigures& figures, const RenderNeed& render, const CheckWords& words) {
    Outcome outcome{
        ExitCode::done,
        words.json ? check_json(figures, render) : check_text(figures, render, output_columns()),
        ""};
    const auto dangers =
        std::ranges::count(figures.cautions, CautionLevel::danger, &Caution::level);
    if (!words.strict || dangers == 0) return outcome;
    outcome.code = ExitCode::danger;
    outcome.notes = fmt::format("lampflight: {} danger{}\n", dangers, dangers == 1 ? "" : "s");
    return outcome;
}

/// Whether the plan is of a kind that can be written.
Expected<Done> check_plan_file(const std::filesystem::path& plan) {
    if (plan.empty()) return Done{};
    if (lower_case(plan.extension().string()) != ".svg")
        return wrong_words(fmt::format("can't tell what kind of plan {} is; end its name in .svg",
                                       in_quotes(plan.string())));
    return Done{};
}

}  // namespace

RunCommand offer_check(CLI::App& app) {
    const auto words = std::make_shared<CheckWords>();
    add_scene_options(app, words->scene);
    add_memory_option(app, words->memory_gb);
    add_json_flag(app, words->json);
    app.add_flag("--strict", words->strict, "Ends with 5 where a caution is a danger");
    add_output_option(app, words->plan, "PLAN",
                      "Set-up plan to write, .svg: a page of A4 to print and carry along");
    set_help(app, "lampflight check SCENE [options]",
             "Render tells what a render of good quality takes of memory at most, and about how "
             "long; a scene that needs more than there is, is refused as render would refuse it.\n"
             "A flight begins as the shutter opens. Its lamps are lit while it lasts and dark "
             "afterwards; pace = \"shutter\" stretches it over the exposure. With limits it "
             "begins and ends at rest, and its trail burns brighter where it is slow.\n"
             "A trail's exposure depends on lamp, distance, f-number and the speed across the "
             "frame, not on the shutter time: stopping down thins the line, a shorter shutter "
             "does not.\n"
             "Speed is the mean, top the highest while flown. A gap or an overlap is told "
             "along the line and in degrees of the lap.\n"
             "A shape is legible where ten widths of its line go into the shorter side of its "
             "image and three into its finest detail, coarse below that, a blot where not three "
             "go into the side or one into the detail. Detail is the shortest lit leg of a drawn "
             "figure, or the way from turn to turn of a helix. The line is the lamp's face as "
             "imaged, with defocus and diffraction, at its widest; `meter` has how wide it "
             "burns in. Flattened to says how flat a circle looks in the shape's plane: 1 "
             "face-on, 0 edge-on; the plane is seen at 90 deg face-on, 0 edge-on.\n"
             "3 and 5 % slow tell what stays open when all is flown so much slower and the "
             "shutter closes as planned; flown as much faster, a flight ends sooner. By the "
             "dial, radius is in whole metres and speed in tenths of a metre a second; the "
             "drone then goes round for as long as planned.\n"
             "Battery figures are for a drone of the scene that flies in a take. With lamps is "
             "how long it hovers with them: loaded_endurance_min, else endurance_min over the "
             "power 1.5 of its mass with lamps to that without. Usable is what the reserve "
             "leaves of it. Out is the way from home_m up and then across to the first flight, "
             "home the way back, both at transit_m_s or what its limits allow. Takes on one "
             "counts takes, going round through all that the scene has for the drone, each of "
             "which leaves enough for the way home.\n"
             "A take is flown until its shutter has closed and its last flight has ended. Reset "
             "is the time in the air before it: reset_s, or longer where the way over takes "
             "longer or a dark frame keeps the camera busy. Left is what the battery has after "
             "the take, before the way home; the takes are flown once each, those of other "
             "drones and after_s left aside, on a fresh battery where one would not bring it "
             "home above the reserve. Wind, cold and what is hovered before the first take are "
             "not in it. Without an endurance, \"-\" says that it is unknown.\n"
             "The chance that a line closes is of 200 goes at the flight, each astray otherwise by "
             "its wander and by gusts, with 0.3 m of wander where none is stated: those whose last "
             "quarter comes within gap_m of the line's first point, the shutter included, and the "
             "range in which the chance lies (95 %, Wilson).\n"
             "In the wind, top is the highest speed through the air, in gusts as if they blew all "
             "along; crab is the angle between the course and the motion through the air, where it "
             "goes faster than the wind.\n"
             "Own lights of drones burn on all their ways. A flash looks as strong as its "
             "effective intensity, I t / (t + 0.2 s); a light is seen at night from where it "
             "brings 2e-7 lx to the eye, straight along its aim and through the scene's air. "
             "Dots lie apart by what is flown from flash to flash at the mean speed.\n"
             "Cautions come gravest first: danger, care, note. None of them, and no want of them, "
             "says that a flight may be flown: local rules and licensed practice do. What is "
             "called common is what crews do, no law.\n"
             "The plan shows the place from above and from the side, to scale, with bearings and "
             "paces from the tripod, heights, ways round and nearest distances.\n"
             "\n"
             "Example:\n"
             "  lampflight check my-halo.toml -o plan.svg --set flight.halo.radius_m=7\n"
             "  lampflight check my-halo.toml --strict");
    return [&app, words](const Session& session) -> Outcome {
        auto scene = scene_of(words->scene, app);
        if (!scene) return scene.failure();
        if (const auto plan = check_plan_file(words->plan); !plan) return plan.failure();
        if (!words->plan.empty()) scene->outputs = {words->plan};
        auto shoot = open_scene(*scene);
        if (!shoot) return shoot.failure();
        const auto render = usual_render(*shoot, words->memory_gb, bytes_of(PictureKind::png));
        if (!render) return render.failure();
        const ShootFigures figures = shoot_figures(*shoot);
        Outcome outcome = checked(figures, *render, *words);
        if (words->plan.empty()) return outcome;
        if (const auto written =
                write_whole_file(words->plan, plan_page(*shoot, figures), session.stop);
            !written)
            return written.failure();
        if (!words->scene.quiet)
            outcome.notes = fmt::format("{} is written\n{}", words->plan, outcome.notes);
        return outcome;
    };
}

}  // namespace lampflight
