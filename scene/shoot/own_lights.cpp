#include "scene/shoot/own_lights.h"

namespace lampflight {

void add_own_lights(Shoot&) {}

}  // namespace lampflight
