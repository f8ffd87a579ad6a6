#include "renderer/fourier.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "scene/angle.h"

namespace lampflight {
namespace {

ComplexLines operator+(const ComplexLines& a, const ComplexLines& b) {
    return {a.re + b.re, a.im + b.im};
}

ComplexLines operator-(const ComplexLines& a, const ComplexLines& b) {
    return {a.re - b.re, a.im - b.im};
}

ComplexLines operator*(float factor, const ComplexLines& a) {
    return {factor * a.re, factor * a.im};
}

ComplexLines times(const ComplexLines& a, const std::complex<float>& turn) {
    return {a.re * turn.real() - a.im * turn.imag(), a.re * turn.imag() + a.im * turn.real()};
}

/// Times -i, or times i on the way back.
template <bool inverse>
ComplexLines quarter_turn(const ComplexLines& a) {
    if constexpr (inverse)
        return {-a.im, a.re};
    else
        return {a.im, -a.re};
}

/// Transforms of 2 to 5 values in place.
template <bool inverse, std::size_t radix>
void transform_few(std::array<ComplexLines, radix>& v) {
    if constexpr (radix == 2) {
        v = {v[0] + v[1], v[0] - v[1]};
    } else if constexpr (radix == 3) {
        constexpr float sine = 0.866025404f;  // of a third of a turn
        const ComplexLines sum = v[1] + v[2];
        const ComplexLines middle = v[0] - 0.5f * sum;
        const ComplexLines side = sine * quarter_turn<inverse>(v[1] - v[2]);
        v = {v[0] + sum, middle + side, middle - side};
    } else if constexpr (radix == 4) {
        const ComplexLines even = v[0] + v[2], even_less = v[0] - v[2];
        const ComplexLines odd = v[1] + v[3];
        const ComplexLines odd_less = quarter_turn<inverse>(v[1] - v[3]);
        v = {even + odd, even_less + odd_less, even - odd, even_less - odd_less};
    } else {
        static_assert(radix == 5);
        // Cosines and sines of one and two fifths of a turn.
        constexpr float cos1 = 0.309016994f, cos2 = -0.809016994f;
        constexpr float sin1 = 0.951056516f, sin2 = 0.587785252f;
        const ComplexLines sum1 = v[1] + v[4], sum2 = v[2] + v[3];
        const ComplexLines less1 = quarter_turn<inverse>(v[1] - v[4]);
        const ComplexLines less2 = quarter_turn<inverse>(v[2] - v[3]);
        const ComplexLines middle1 = v[0] + cos1 * sum1 + cos2 * sum2;
        const ComplexLines middle2 = v[0] + cos2 * sum1 + cos1 * sum2;
        const ComplexLines side1 = sin1 * less1 + sin2 * less2;
        const ComplexLines side2 = sin2 * less1 - sin1 * less2;
        v = {v[0] + sum1 + sum2, middle1 + side1, middle2 + side2, middle2 - side2,
             middle1 - side1};
    }
}

/// One factor of a transform of `size`, `stride` of which lie among each other.
struct Step {
    std::size_t size;
    std::size_t stride;
    const std::vector<std::complex<float>>& turns;
};

template <bool inverse, std::size_t radix>
void take_step(const Step& step, const ComplexLines* from, ComplexLines* to) {
    const std::size_t parts = step.size / radix;
    for (std::size_t p = 0; p < parts; ++p) {
        std::array<std::complex<float>, radix> turns;
        for (std::size_t k = 1; k < radix; ++k) {
            turns[k] = step.turns[p * k * step.stride];
            if constexpr (inverse) turns[k] = std::conj(turns[k]);
        }
        for (std::size_t q = 0; q < step.stride; ++q) {
            std::array<ComplexLines, radix> v;
            for (std::size_t k = 0; k < radix; ++k) v[k] = from[q + step.stride * (p + parts * k)];
            transform_few<inverse>(v);
            ComplexLines* const out = to + q + step.stride * radix * p;
            out[0] = v[0];
            for (std::size_t k = 1; k < radix; ++k) out[step.stride * k] = times(v[k], turns[k]);
        }
    }
}

std::vector<int> factors_of(int size) {
    std::vector<int> factors;
    for (const int factor : {5, 4, 3, 2})
        for (; size % factor == 0; size /= factor) factors.push_back(factor);
    return factors;
}

}  // namespace

FourierTransform::FourierTransform(int size) : size_(size), factors_(factors_of(size)) {
    for (int k = 0; k < size; ++k) turns_.emplace_back(std::polar(1.0, -2.0 * pi * k / size));
}

int FourierTransform::fast_size(int at_least) {
    for (int size = std::max(1, at_least);; ++size) {
        int left = size;
        for (const int factor : {2, 3, 5})
            while (left % factor == 0) left /= factor;
        if (left == 1) return size;
    }
}

template <bool inverse>
void FourierTransform::run(ComplexLines* values, ComplexLines* room) const {
    ComplexLines* from = values;
    ComplexLines* to = room;
    Step step{static_cast<std::size_t>(size_), 1, turns_};
    for (const int factor : factors_) {
        switch (factor) {
            case 2:
                take_step<inverse, 2>(step, from, to);
                break;
            case 3:
                take_step<inverse, 3>(step, from, to);
                break;
            case 4:
                take_step<inverse, 4>(step, from, to);
                break;
            default:
                take_step<inverse, 5>(step, from, to);
                break;
        }
        step.size /= static_cast<std::size_t>(factor);
        step.stride *= static_cast<std::size_t>(factor);
        std::swap(from, to);
    }
    if (from != values) std::copy_n(from, size_, values);
}

void FourierTransform::forward(ComplexLines* values, ComplexLines* room) const {
    run<false>(values, room);
}

void FourierTransform::back(ComplexLines* values, ComplexLines* room) const {
    run<true>(values, room);
}

}  // namespace lampflight
