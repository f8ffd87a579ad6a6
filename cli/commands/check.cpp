// `lampflight check`: is the shoot sound, and what are its numbers.
#include <memory>

#include "cli/commands/commands.h"
#include "cli/commands/shared_options.h"
#include "cli/reports/check_report.h"

namespace lampflight {
namespace {

struct CheckWords {
    SceneWords scene;
    bool json = false;
};

}  // namespace

RunCommand offer_check(CLI::App& app) {
    const auto words = std::make_shared<CheckWords>();
    add_scene_options(app, words->scene);
    add_json_flag(app, words->json);
    set_help(app, "lampflight check SCENE [options]",
             "Example: lampflight check my-halo.toml --set flight.halo.radius_m=7");
    return [&app, words](const Session&) -> Outcome {
        const auto scene = scene_of(words->scene, app);
        if (!scene) return scene.failure();
        const auto shoot = open_scene(*scene);
        if (!shoot) return shoot.failure();
        const ShootFigures figures = shoot_figures(*shoot);
        return {ExitCode::done, words->json ? check_json(figures) : check_text(figures), ""};
    };
}

}  // namespace lampflight
