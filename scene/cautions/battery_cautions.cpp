#include "scene/cautions/caution_kinds.h"

namespace lampflight {

Findings battery_cautions(const Shoot&) {
    return {};
}

}  // namespace lampflight
