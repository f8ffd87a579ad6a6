#include "scene/flights/straying.h"

#include <algorithm>
#include <cmath>
#include <random>

#include "scene/basics/angle.h"

namespace lampflight {
namespace {

// How firmly a drone holds its place: by a damped second order. Common practice, no source: a small
// drone comes back in a few seconds and hardly overshoots.
constexpr double hold_rad_s = 1.0;
constexpr double hold_damping = 1.0;

// Common practice, no source: satellites and barometer together hold the height better.
constexpr double wander_up_share = 0.5;

// Lateral over longitudinal turbulence, IEC 61400-1 annex B (from memory).
constexpr double gust_across_share = 0.8;

constexpr double peak_factor = 3.0;

/// Normal numbers by Box and Muller; the standard's own distributions differ between libraries.
class Normals {
public:
    explicit Normals(std::uint64_t seed) : engine_(seed) {}

    /// In (0, 1).
    double uniform() { return (static_cast<double>(engine_() >> 11) + 0.5) * 0x1p-53; }

    /// Two independent ones of variance 1.
    std::complex<double> pair() {
        const double radius = std::sqrt(-2.0 * std::log(uniform()));
        return std::polar(radius, 2.0 * pi * uniform());
    }

private:
    std::mt19937_64 engine_;
};

/// One-sided, of variance 1, in seconds.
double spectrum_s(double frequency_hz, double correlation_s) {
    const double share = frequency_hz * correlation_s;
    // What is cut off at 1 / T is made up for.
    static const double kept = std::erf(2.0 * std::sqrt(pi));
    return 4.0 * correlation_s * std::exp(-4.0 * pi * share * share) / kept;
}

/// Offset per acceleration that pushes, in s2.
std::complex<double> held(double rad_s) {
    return 1.0 / std::complex<double>(hold_rad_s * hold_rad_s - rad_s * rad_s,
                                      2.0 * hold_damping * hold_rad_s * rad_s);
}

/// By how much a gust pushes, 1/s: the drag k |u| u about the steady wind. In still air the gusts'
/// own rms stands for the wind.
double push_per_s(const StrayingSize& size, bool along) {
    const double speed_m_s = std::hypot(glm::length(size.wind_m_s), gust_rms_m_s(size));
    return (along ? 2.0 : 1.0) * size.drag_per_m * speed_m_s;
}

}  // namespace

double gust_rms_m_s(const StrayingSize& size) {
    return std::max(0.0, size.gust_m_s) / peak_factor;
}

double astray_rms_m(const StrayingSize& size) {
    constexpr int steps = 256;
    double pushed = 0.0;  // variance of the offset by gusts along the wind
    const double band_hz = 1.0 / size.gust_s / steps;
    for (int i = 0; i < steps; ++i) {
        const double frequency_hz = (i + 0.5) * band_hz;
        pushed += spectrum_s(frequency_hz, size.gust_s) * band_hz *
                  std::norm(held(2.0 * pi * frequency_hz));
    }
    return std::hypot(size.wander_m,
                      gust_rms_m_s(size) * push_per_s(size, true) * std::sqrt(pushed));
}

Straying::Straying(const StrayingSize& size, std::uint64_t seed) {
    // Each draws from a row of numbers of its own, so that one does not change the other.
    Normals of_wander(seed), of_gusts(seed ^ 0x9E3779B97F4A7C15u);
    const auto add = [&](Normals& normals, const Vec3& along, double rms, double correlation_s,
                         double per_s, bool gust) {
        Part part{along, {}, gust};
        const double band_hz = 1.0 / correlation_s / strata;
        for (std::size_t i = 0; i < strata; ++i) {
            const double frequency_hz = (static_cast<double>(i) + normals.uniform()) * band_hz;
            const double rad_s = 2.0 * pi * frequency_hz;
            const std::complex<double> amplitude =
                rms * std::sqrt(spectrum_s(frequency_hz, correlation_s) * band_hz) * normals.pair();
            part.axis[i] = {rad_s, amplitude, gust ? amplitude * per_s * held(rad_s) : amplitude};
        }
        parts_.push_back(part);
    };
    if (size.wander_m > 0.0) {
        add(of_wander, {1.0, 0.0, 0.0}, size.wander_m, size.wander_s, 0.0, false);
        add(of_wander, {0.0, 1.0, 0.0}, size.wander_m, size.wander_s, 0.0, false);
        add(of_wander, {0.0, 0.0, 1.0}, wander_up_share * size.wander_m, size.wander_s, 0.0, false);
    }
    if (size.gust_m_s > 0.0) {
        const double rms_m_s = gust_rms_m_s(size);
        const Vec3 across{size.downwind.y, -size.downwind.x, 0.0};
        add(of_gusts, size.downwind, rms_m_s, size.gust_s, push_per_s(size, true), true);
        add(of_gusts, across, gust_across_share * rms_m_s, size.gust_s, push_per_s(size, false),
            true);
    }
}

template <class Amplitude>
Vec3 Straying::sum(double time_s, bool gusts_alone, const Amplitude& amplitude) const {
    Vec3 total(0.0);
    for (const Part& part : parts_) {
        if (gusts_alone && !part.gust) continue;
        double value = 0.0;
        for (const Sinusoid& one : part.axis) {
            const double angle_rad = one.rad_s * time_s;
            const std::complex<double> size = amplitude(one);
            value += size.real() * std::cos(angle_rad) - size.imag() * std::sin(angle_rad);
        }
        total += value * part.along;
    }
    return total;
}

Vec3 Straying::offset_m(double time_s) const {
    return sum(time_s, false, [](const Sinusoid& one) { return one.pushed_m; });
}

Vec3 Straying::acceleration_m_s2(double time_s) const {
    return sum(time_s, false,
               [](const Sinusoid& one) { return -one.rad_s * one.rad_s * one.pushed_m; });
}

Vec3 Straying::gust_m_s(double time_s) const {
    return sum(time_s, true, [](const Sinusoid& one) { return one.amplitude; });
}

std::vector<Vec3> Straying::offsets_m(double from_s, double step_s, std::size_t count) const {
    std::vector<Vec3> offsets(count, Vec3(0.0));
    std::array<double, strata> re{}, im{}, turn_re{}, turn_im{};
    for (const Part& part : parts_) {
        for (std::size_t i = 0; i < strata; ++i) {
            const Sinusoid& one = part.axis[i];
            const std::complex<double> start = one.pushed_m * std::polar(1.0, one.rad_s * from_s);
            re[i] = start.real();
            im[i] = start.imag();
            turn_re[i] = std::cos(one.rad_s * step_s);
            turn_im[i] = std::sin(one.rad_s * step_s);
        }
        for (Vec3& offset : offsets) {
            double value = 0.0;
            for (std::size_t i = 0; i < strata; ++i) {
                value += re[i];
                const double turned = re[i] * turn_re[i] - im[i] * turn_im[i];
                im[i] = re[i] * turn_im[i] + im[i] * turn_re[i];
                re[i] = turned;
            }
            offset += value * part.along;
        }
    }
    return offsets;
}

}  // namespace lampflight
