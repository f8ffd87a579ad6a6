#include "scene/basics/spectral_locus.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>

namespace lampflight {
namespace {

constexpr double step_nm = 10.0;
constexpr double first_nm = 380.0;

/// x, y and z bar from 380 nm on.
constexpr std::array<Vec3, 35> matching{{
    {0.001368, 0.000039, 0.006450}, {0.004243, 0.000120, 0.020050}, {0.014310, 0.000396, 0.067850},
    {0.043510, 0.001210, 0.207400}, {0.134380, 0.004000, 0.645600}, {0.283900, 0.011600, 1.385600},
    {0.348280, 0.023000, 1.747060}, {0.336200, 0.038000, 1.772110}, {0.290800, 0.060000, 1.669200},
    {0.195360, 0.090980, 1.287640}, {0.095640, 0.139020, 0.812950}, {0.032010, 0.208020, 0.465180},
    {0.004900, 0.323000, 0.272000}, {0.009300, 0.503000, 0.158200}, {0.063270, 0.710000, 0.078250},
    {0.165500, 0.862000, 0.042160}, {0.290400, 0.954000, 0.020300}, {0.433450, 0.994950, 0.008750},
    {0.594500, 0.995000, 0.003900}, {0.762100, 0.952000, 0.002100}, {0.916300, 0.870000, 0.001650},
    {1.026300, 0.757000, 0.001100}, {1.062200, 0.631000, 0.000800}, {1.002600, 0.503000, 0.000340},
    {0.854450, 0.381000, 0.000190}, {0.642400, 0.265000, 0.000050}, {0.447900, 0.175000, 0.000020},
    {0.283500, 0.107000, 0.000000}, {0.164900, 0.061000, 0.000000}, {0.087400, 0.032000, 0.000000},
    {0.046770, 0.017000, 0.000000}, {0.022700, 0.008210, 0.000000}, {0.011359, 0.004102, 0.000000},
    {0.005790, 0.002091, 0.000000}, {0.002899, 0.001047, 0.000000},
}};

/// Through the entries about a place, which lies between the middle two or nearly so.
Vec3 interpolated(double place) {
    constexpr std::size_t about = 6;
    const auto first = static_cast<std::size_t>(
        std::clamp(std::floor(place) - 2.0, 0.0, static_cast<double>(matching.size() - about)));
    Vec3 sum(0.0);
    for (std::size_t i = first; i < first + about; ++i) {
        double weight = 1.0;
        for (std::size_t j = first; j < first + about; ++j)
            if (j != i)
                weight *= (place - static_cast<double>(j)) /
                          (static_cast<double>(i) - static_cast<double>(j));
        sum += weight * matching[i];
    }
    return glm::max(sum, Vec3(0.0));
}

}  // namespace

Vec2 spectral_xy(double wavelength_nm) {
    const double held_nm = std::clamp(wavelength_nm, shortest_locus_nm, longest_locus_nm);
    const Vec3 response = interpolated((held_nm - first_nm) / step_nm);
    return Vec2(response) / (response.x + response.y + response.z);
}

Vec2 dominant_xy(double wavelength_nm, double purity) {
    return glm::mix(equal_energy_xy, spectral_xy(wavelength_nm), purity);
}

bool is_light(const Vec2& xy) {
    constexpr double slack = 1e-3;
    constexpr double shortest_edge = 2e-3;  // towards its ends the locus stands still
    if (xy.y <= 0.0) return false;
    // It runs clockwise about all there is; the first edge, of purples, closes it.
    Vec2 from = spectral_xy(longest_locus_nm);
    for (double nm = shortest_locus_nm; nm <= longest_locus_nm; nm += 1.0) {
        const Vec2 to = spectral_xy(nm);
        if (glm::distance(from, to) < shortest_edge) continue;
        const Vec2 edge = to - from;
        const double left = edge.x * (xy.y - from.y) - edge.y * (xy.x - from.x);
        if (left > slack * glm::length(edge)) return false;
        from = to;
    }
    return true;
}

}  // namespace lampflight
