// Straying: how a drone departs from its planned path, by the wander that positioning leaves and by
// gusts. Repeatable by a seed.
#pragma once

#include <array>
#include <complex>
#include <cstddef>
#include <cstdint>
#include <vector>

#include "scene/basics/vector.h"

namespace lampflight {

/// Of what size and how fast.
struct StrayingSize {
    double wander_m = 0.0;         ///< rms east, and rms north; half of it up
    double wander_s = 4.0;         ///< correlation time
    double gust_m_s = 0.0;         ///< of gusts over the steady wind
    double gust_s = 6.0;           ///< correlation time
    Vec3 wind_m_s{0.0};            ///< steady
    double drag_per_m = 0.0;       ///< of the airframe, by which gusts push
    Vec3 downwind{0.0, 1.0, 0.0};  ///< unit, level: the way that gusts blow

    bool strays() const { return wander_m > 0.0 || gust_m_s > 0.0; }
};

/// Two Gaussian processes, wander in space and gusts of the air, by the spectral method (Shinozuka
/// and Deodatis 1991): sinusoids, one in each stratum of frequency, whose amplitudes are normal
/// with the variance that the spectrum has there. Both have the autocorrelation s^2 exp(-pi t^2 /
/// (4 T^2)), whose integral over all positive lags is the correlation time T, and so the one-sided
/// spectrum 4 s^2 T exp(-4 pi f^2 T^2), cut at f = 1 / T where a millionth of it is left. Gusts
/// push by drag against a position hold, through which every sinusoid passes. Times are any; the
/// generator is the standard's own and so are its numbers everywhere.
class Straying {
public:
    Straying(const StrayingSize& size, std::uint64_t seed);

    Vec3 offset_m(double time_s) const;           ///< from the planned place
    Vec3 acceleration_m_s2(double time_s) const;  ///< of that offset
    Vec3 gust_m_s(double time_s) const;           ///< velocity of the air over the steady wind

    /// Offsets at so many even times, the same as one by one but faster.
    std::vector<Vec3> offsets_m(double from_s, double step_s, std::size_t count) const;

private:
    static constexpr std::size_t strata = 32;

    /// One frequency with its amplitudes: a value is the real part of each times exp(i w t).
    struct Sinusoid {
        double rad_s;
        std::complex<double> amplitude;  ///< of the process itself
        std::complex<double> pushed_m;   ///< of gusts: of the offset that they lead to
    };
    using Axis = std::array<Sinusoid, strata>;

    struct Part {
        Vec3 along;  ///< unit
        Axis axis;
        bool gust;
    };

    template <class Amplitude>
    Vec3 sum(double time_s, bool gusts_alone, const Amplitude& amplitude) const;

    std::vector<Part> parts_;
};

/// Rms of the gusts' speed along the wind, in m/s: a third of what gusts are stronger than the
/// steady wind, for what forecasts call a gust is the peak, some three rms above the mean (common
/// practice).
double gust_rms_m_s(const StrayingSize& size);

/// Rms of the offset to the side to which it is largest, in metres.
double astray_rms_m(const StrayingSize& size);

}  // namespace lampflight
