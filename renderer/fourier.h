// Fourier transforms, sixteen lines side by side, so that every step of them is one for a whole
// register.
#pragma once

#include <complex>
#include <cstddef>
#include <vector>

namespace lampflight {

constexpr std::size_t lines_at_once = 16;

/// One number of each line.
using LineValues = float __attribute__((vector_size(sizeof(float) * lines_at_once), may_alias));

/// Aligned by our own word: compilers would by the widest registers they may use.
struct alignas(sizeof(LineValues)) ComplexLines {
    LineValues re;
    LineValues im;
};

/// Transforms of one length: sum over x of value(x) exp(-2 pi i k x / size), and back with the
/// other sign, which gives the values times `size`. By Stockham's method, without a separate
/// sorting of places (Van Loan, Computational Frameworks for the Fast Fourier Transform, 1992,
/// section 1.7). May be used by several threads.
class FourierTransform {
public:
    /// `size` is one of `fast_size`.
    explicit FourierTransform(int size);

    /// The least number with no other prime factors than 2, 3 and 5 that is not below another.
    static int fast_size(int at_least);

    int size() const { return size_; }

    /// `values` and `room` hold `size` each; the room's contents are lost.
    void forward(ComplexLines* values, ComplexLines* room) const;
    void back(ComplexLines* values, ComplexLines* room) const;

private:
    template <bool inverse>
    void run(ComplexLines* values, ComplexLines* room) const;

    int size_;
    std::vector<int> factors_;
    std::vector<std::complex<float>> turns_;  ///< exp(-2 pi i k / size)
};

}  // namespace lampflight
