#include "scene/camera/distortion.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace lampflight {
namespace {

/// The smallest r at which 1 + 3 k1 r^2 + 5 k2 r^4 has fallen to `least_growth`.
double folding_radius(const Vec2& k) {
    constexpr double never = std::numeric_limits<double>::infinity();
    // c + b u + a u^2 = 0 for u = r^2, by the form that holds for a = 0 as well.
    const double a = 5.0 * k.y, b = 3.0 * k.x, c = 1.0 - least_growth;
    const double discriminant = b * b - 4.0 * a * c;
    if (discriminant < 0.0) return never;
    const double below = std::sqrt(discriminant) - b;
    return below > 0.0 ? std::sqrt(2.0 * c / below) : never;
}

}  // namespace

RadialDistortion::RadialDistortion(const Vec2& k) : k_(k), limit_(folding_radius(k)) {}

double RadialDistortion::image_radius(double r) const {
    const double u = r * r;
    return r * (1.0 + u * (k_.x + u * k_.y));
}

double RadialDistortion::growth(double r) const {
    const double u = r * r;
    return 1.0 + u * (3.0 * k_.x + u * 5.0 * k_.y);
}

double RadialDistortion::ideal_radius(double image) const {
    if (none()) return image;
    if (limit_ < std::numeric_limits<double>::infinity() && image >= image_radius(limit_))
        return limit_;
    // Newton's steps, kept between bounds on the root: growth is positive throughout.
    double low = 0.0;
    double high = std::min(limit_, image / least_growth);
    double r = std::min(image, high);
    for (int step = 0; step < 60; ++step) {
        const double over = image_radius(r) - image;
        (over > 0.0 ? high : low) = r;
        double next = r - over / growth(r);
        if (!(next > low && next < high)) next = 0.5 * (low + high);
        if (std::abs(next - r) <= 1e-15 * r) return next;
        r = next;
    }
    return r;
}

}  // namespace lampflight
