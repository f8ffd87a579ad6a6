#include "renderer/lens/diffraction.h"

#include <tbb/parallel_for.h>

#include <algorithm>
#include <cmath>

#include "renderer/lens/blur.h"
#include "renderer/lens/iris.h"

namespace lampflight {
namespace {

/// Where light passes to pixels of twice the side, which must be small against the distance there;
/// the first rings fall to the fine ones.
struct Handover {
    double end_px;
    double end_rings;
    double begins_at;  ///< over the end
};
constexpr Handover surfaces_handover{5.0, 3.3, 0.7};
constexpr Handover trails_handover{8.0, 3.0, 0.5};
constexpr double mid_reach_nears = 2.5;  // of trails
constexpr double far_reach_widths = 0.3;
constexpr double far_reach_mids = 12.0;  // of small sensors: some 0.3 % go farther

// Where pixels are far from square, handovers go by no more than so many times their shorter side:
// a kernel would be thousands of those wide, for light that one long pixel takes in anyway.
constexpr double most_oblong = 2.0;

// Samples lie closer than the rings where those show, and then by the distance from the middle.
constexpr double sample_rings = 0.15;
constexpr double sample_of_distance = 0.12;

constexpr std::array<double, 5> band_wavelengths{0.92, 0.96, 1.0, 1.04, 1.08};  // over the middle's
constexpr std::array<double, 5> band_weights{1.0 / 9, 2.0 / 9, 3.0 / 9, 2.0 / 9, 1.0 / 9};

/// 1 up to `from`, smoothly to 0 at `to`.
double fade(double x, double from, double to) {
    const double t = std::clamp((to - x) / (to - from), 0.0, 1.0);
    return t * t * (3.0 - 2.0 * t);
}

/// Light of each band per square millimetre about a point.
class PointLight {
public:
    PointLight(const DiffractionPattern& pattern, double f_number) : pattern_(pattern) {
        for (std::size_t band = 0; band < 3; ++band)
            ring_mm_[band] = band_wavelength_mm[band] * f_number;
    }

    double ring_mm(std::size_t band) const { return ring_mm_[band]; }

    glm::dvec3 at(const Vec2& mm) const {
        const double distance_mm = glm::length(mm);
        const double place = pattern_.place_of(std::atan2(mm.y, mm.x));
        glm::dvec3 light;
        for (int band = 0; band < 3; ++band)
            light[band] = band_at(ring_mm_[static_cast<std::size_t>(band)], distance_mm, place);
        return light;
    }

private:
    double band_at(double ring_mm, double distance_mm, double place) const {
        if (distance_mm > 1.1 * DiffractionPattern::exact_to * ring_mm)
            return pattern_.at(distance_mm / ring_mm, place) / (ring_mm * ring_mm);
        double sum = 0.0;
        for (std::size_t i = 0; i < band_wavelengths.size(); ++i) {
            const double unit_mm = ring_mm * band_wavelengths[i];
            sum +=
                band_weights[i] * pattern_.at(distance_mm / unit_mm, place) / (unit_mm * unit_mm);
        }
        return sum;
    }

    const DiffractionPattern& pattern_;
    std::array<double, 3> ring_mm_{};
};

/// Integral of light times a window over a rectangle, cut in four until it is small, in two while
/// it is long.
template <class Window>
glm::dvec3 integral(const PointLight& light, const Window& window, const Vec2& middle_mm,
                    const Vec2& size_mm) {
    const double side_mm = std::max(size_mm.x, size_mm.y);
    const double distance_mm = glm::length(middle_mm);
    const double ring_mm = light.ring_mm(2);
    const bool rings_show = distance_mm < DiffractionPattern::exact_to * ring_mm + side_mm;
    const double small_mm = std::max(sample_rings * ring_mm, sample_of_distance * distance_mm);
    if (side_mm <= (rings_show ? sample_rings * ring_mm : small_mm)) {
        const double share = window(distance_mm);
        if (share <= 0.0) return glm::dvec3(0.0);
        return share * size_mm.x * size_mm.y * light.at(middle_mm);
    }
    glm::dvec3 sum(0.0);
    constexpr double is_long = 1.9;
    if (side_mm > is_long * std::min(size_mm.x, size_mm.y)) {
        const Vec2 along = size_mm.x > size_mm.y ? Vec2(1, 0) : Vec2(0, 1);
        for (const double end : {-1.0, 1.0})
            sum += integral(light, window, middle_mm + 0.25 * end * along * size_mm,
                            (1.0 - 0.5 * along) * size_mm);
        return sum;
    }
    for (const Vec2 corner : {Vec2(-1, -1), Vec2(1, -1), Vec2(-1, 1), Vec2(1, 1)})
        sum += integral(light, window, middle_mm + 0.25 * corner * size_mm, 0.5 * size_mm);
    return sum;
}

/// Half of a kernel is computed; the other half is its mirror image.
template <class Window>
SpreadKernel kernel(const PointLight& light, const Window& window, int radius,
                    const Vec2& pitch_mm) {
    SpreadKernel kernel;
    kernel.radius = radius;
    const int side = kernel.side();
    for (auto& taps : kernel.taps)
        taps.resize(static_cast<std::size_t>(side) * static_cast<std::size_t>(side));
    tbb::parallel_for(0, kernel.radius + 1, [&](int row) {
        const int y = row - kernel.radius;
        for (int x = -kernel.radius; x <= (y < 0 ? kernel.radius : 0); ++x) {
            const glm::dvec3 tap = integral(light, window, Vec2(x, y) * pitch_mm, pitch_mm);
            const auto place = static_cast<std::size_t>(row) * static_cast<std::size_t>(side) +
                               static_cast<std::size_t>(x + kernel.radius);
            for (int colour = 0; colour < 3; ++colour) {
                auto& taps = kernel.taps[static_cast<std::size_t>(colour)];
                taps[place] = static_cast<float>(tap[colour]);
                taps[taps.size() - 1 - place] = taps[place];
            }
        }
    });
    return kernel;
}

/// Takes off what halving and doubling will add to the kernel's width, by its curvature. Edges come
/// out truer; about a point it is what lies between the pixels that shows, and no less for this.
SpreadKernel sharpened(const SpreadKernel& kernel) {
    constexpr double half_px2 = 4.0;
    constexpr auto share = static_cast<float>(0.5 * 2.0 * halving_variance_px2 / half_px2);
    const auto at = [&](std::size_t colour, int x, int y) {
        return std::max(std::abs(x), std::abs(y)) <= kernel.radius ? kernel.at(colour, x, y) : 0.0f;
    };
    SpreadKernel sharp{kernel.radius, {}};
    for (std::size_t colour = 0; colour < 3; ++colour)
        for (int y = -kernel.radius; y <= kernel.radius; ++y)
            for (int x = -kernel.radius; x <= kernel.radius; ++x) {
                const float around = at(colour, x - 1, y) + at(colour, x + 1, y) +
                                     at(colour, x, y - 1) + at(colour, x, y + 1);
                sharp.taps[colour].push_back(at(colour, x, y) +
                                             share * (4.0f * at(colour, x, y) - around));
            }
    return sharp;
}

void scale(SpreadKernel& kernel, const glm::vec3& by) {
    for (int colour = 0; colour < 3; ++colour)
        for (float& tap : kernel.taps[static_cast<std::size_t>(colour)]) tap *= by[colour];
}

/// Makes either pair and the far kernel add up to 1: what lies beyond its reach, some 0.1 %, is
/// laid within.
void normalise(DiffractionKernels& kernels) {
    const auto sum = [](const FineKernels& pair) { return pair.near.sum() + pair.mid.sum(); };
    scale(kernels.far, 1.0f / (sum(kernels.trails) + kernels.far.sum()));
    const glm::vec3 left = 1.0f - kernels.far.sum();
    for (FineKernels* pair : {&kernels.surfaces, &kernels.trails}) {
        const glm::vec3 by = left / sum(*pair);
        scale(pair->near, by);
        scale(pair->mid, by);
    }
}

}  // namespace

glm::vec3 SpreadKernel::sum() const {
    glm::vec3 all;
    for (int colour = 0; colour < 3; ++colour) {
        double sum = 0.0;
        for (const float tap : taps[static_cast<std::size_t>(colour)])
            sum += static_cast<double>(tap);
        all[colour] = static_cast<float>(sum);
    }
    return all;
}

namespace {

/// How far each kernel goes, in millimetres and in its own pixels.
struct Reach {
    double mm;
    int pixels;
};

struct Reaches {
    Reach surfaces_near, trails_near;
    Reach mid;
    Reach far;
};

/// A kernel's reach in pixels of so many times the picture's side. What is farther off than the
/// picture is wide lands nowhere: long pixels hold more of it than their short sides would count.
Reach reach_of(double mm, int times, const Camera& camera) {
    const Vec2 pitch_mm = static_cast<double>(times) * pixel_pitch_mm(camera);
    const double by_shorter = std::ceil(mm / std::min(pitch_mm.x, pitch_mm.y));
    const double by_longer = std::ceil(mm / std::max(pitch_mm.x, pitch_mm.y));
    const double picture = (std::max(camera.pixels.x, camera.pixels.y) + times - 1) / times;
    return {mm, static_cast<int>(std::min(by_shorter, std::max(by_longer, picture)))};
}

Reaches reaches_of(const Camera& camera, double f_number) {
    const Vec2 pitch_mm = pixel_pitch_mm(camera);
    const double longest_ring_mm = band_wavelength_mm[0] * f_number;
    const double pixel_mm =
        std::min(std::max(pitch_mm.x, pitch_mm.y), most_oblong * std::min(pitch_mm.x, pitch_mm.y));
    const auto end_mm = [&](const Handover& handover) {
        return std::max(handover.end_px * pixel_mm, handover.end_rings * longest_ring_mm);
    };
    const double trails_mm = end_mm(trails_handover);
    const double surfaces_mm = std::min(end_mm(surfaces_handover), trails_mm);
    const double mid_mm = mid_reach_nears * trails_mm;
    const double far_mm = std::max(far_reach_widths * camera.sensor_mm.x, far_reach_mids * mid_mm);
    return {reach_of(surfaces_mm, 1, camera), reach_of(trails_mm, 1, camera),
            reach_of(mid_mm, 2, camera), reach_of(far_mm, 4, camera)};
}

}  // namespace

KernelRadii kernel_radii(const Camera& camera, double f_number) {
    const Reaches reach = reaches_of(camera, f_number);
    return {std::max(reach.surfaces_near.pixels, reach.trails_near.pixels), reach.mid.pixels,
            reach.far.pixels};
}

DiffractionKernels diffraction_kernels(const Camera& camera, double f_number) {
    const Vec2 pitch_mm = pixel_pitch_mm(camera);
    const double shortest_ring_mm = band_wavelength_mm[2] * f_number;
    const Reaches reach = reaches_of(camera, f_number);
    // The corners of the largest kernel's pixels, by the shortest wavelength.
    const double most_q = 1.1 * std::sqrt(2.0) * (reach.far.mm + 4.0 * glm::length(pitch_mm)) /
                          (band_wavelengths[0] * shortest_ring_mm);
    const DiffractionPattern pattern({camera.lens.blades, f_number / camera.lens.open_f_number},
                                     most_q);
    const PointLight light(pattern, f_number);
    const double mid_mm = reach.mid.mm;
    const double far_mm = reach.far.mm;
    const auto to_mid = [&](double mm) { return fade(mm, 0.5 * mid_mm, mid_mm); };
    const auto to_far = [&](double mm) { return fade(mm, 0.35 * far_mm, far_mm); };
    const auto pair = [&](double begins_at, const Reach& near) {
        const auto to_near = [&](double mm) { return fade(mm, begins_at * near.mm, near.mm); };
        const auto between = [&](double mm) { return to_mid(mm) - to_near(mm); };
        return FineKernels{kernel(light, to_near, near.pixels, pitch_mm),
                           kernel(light, between, reach.mid.pixels, 2.0 * pitch_mm)};
    };
    DiffractionKernels kernels;
    kernels.surfaces = pair(surfaces_handover.begins_at, reach.surfaces_near);
    kernels.surfaces.mid = sharpened(kernels.surfaces.mid);
    kernels.trails = pair(trails_handover.begins_at, reach.trails_near);
    kernels.far = kernel(
        light, [&](double mm) { return to_far(mm) - to_mid(mm); }, reach.far.pixels,
        4.0 * pitch_mm);
    normalise(kernels);
    return kernels;
}

}  // namespace lampflight
