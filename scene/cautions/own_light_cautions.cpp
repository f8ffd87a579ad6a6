#include "scene/cautions/caution_kinds.h"

namespace lampflight {

Findings own_light_cautions(const Shoot&) {
    return {};
}

}  // namespace lampflight
