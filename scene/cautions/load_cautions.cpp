#include "scene/cautions/caution_kinds.h"

namespace lampflight {

Findings load_cautions(const Shoot&) {
    return {};
}

}  // namespace lampflight
