#include "scene/shoot/battery.h"

namespace lampflight {

std::vector<DroneBattery> batteries(const Shoot&) {
    return {};
}

}  // namespace lampflight
