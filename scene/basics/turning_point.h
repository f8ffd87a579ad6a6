// Bisection: when a condition that changes once does so.
#pragma once

namespace lampflight {

struct TurningPoint {
    double before_s;  ///< still as at the beginning
    double after_s;   ///< changed
};

/// By halving, until the two are this near. `holds` is a condition on time in seconds that differs
/// between the ends.
template <class Condition>
TurningPoint turning_point(Condition holds, double from_s, double to_s, double exact_s) {
    const bool first = holds(from_s);
    while (to_s - from_s > exact_s) {
        const double middle_s = 0.5 * (from_s + to_s);
        (holds(middle_s) == first ? from_s : to_s) = middle_s;
    }
    return {from_s, to_s};
}

}  // namespace lampflight
