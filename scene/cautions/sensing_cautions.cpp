#include "scene/cautions/caution_kinds.h"

namespace lampflight {

Findings sensing_cautions(const Shoot&) {
    return {};
}

}  // namespace lampflight
