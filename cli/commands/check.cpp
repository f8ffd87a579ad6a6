#include "cli/commands/check.h"

#include "cli/reports/check_report.h"

namespace lampflight {

Outcome run_check(const CheckOptions& options) {
    const auto opened = open_scene(options.scene);
    if (const auto* failed = std::get_if<Outcome>(&opened)) return *failed;
    const CheckReport report = check_report(std::get<PlacedShoot>(opened));
    return {ExitCode::done, options.json ? check_json(report) : check_text(report), ""};
}

}  // namespace lampflight
