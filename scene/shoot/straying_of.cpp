#include "scene/shoot/straying_of.h"

namespace lampflight {

std::shared_ptr<const Straying> straying_of(const Shoot&, const Take&, const Flight&) {
    return nullptr;
}

double strays_within_m(const Shoot&, const Flight& flight) {
    return 3.0 * flight.wander_m.value_or(0.0);
}

}  // namespace lampflight
