#include "cli/meter_command.h"

#include <utility>

namespace lampflight {

Outcome run_meter(const MeterOptions& options, const Session& session) {
    auto exposed = expose_scene(options.expose, session);
    if (auto* failed = std::get_if<Outcome>(&exposed)) return std::move(*failed);
    const auto& [shoot, takes] = std::get<ExposedScene>(exposed);
    const MeterReading reading = meter(shoot, takes);
    return {ExitCode::done, options.json ? meter_json(reading) : meter_text(shoot, reading), ""};
}

}  // namespace lampflight
