#include "scene/cautions/caution_kinds.h"

namespace lampflight {

Findings wind_cautions(const FlownTake&) {
    return {};
}

}  // namespace lampflight
