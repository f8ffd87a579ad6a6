#include "cli/commands/commands.h"

namespace lampflight {

std::span<const Command> commands() {
    static constexpr Command rows[]{
        {"start", "Print a commented scene to begin from", offer_start},
        {"check", "Is the shoot sound? Its figures and cautions", offer_check},
        {"dusk", "How the light goes over the evening, minute by minute", offer_dusk},
        {"render", "Make the photograph", offer_render},
        {"retune", "Develop a render's layers anew, with other settings", offer_retune},
        {"meter", "Exposure at the scene's points, in stops from mid-grey", offer_meter},
        {"path", "Flights as paths for maps and tables", offer_path},
        {"keys", "List all that a scene file may hold", offer_keys},
    };
    return rows;
}

}  // namespace lampflight
