// The Fourier transform against its own definition, a sum over all values in double precision.
#include "renderer/fourier.h"

#include <doctest/doctest.h>

#include <cmath>

#include "renderer/low_discrepancy.h"
#include "scene/angle.h"

using namespace lampflight;

namespace {

std::vector<ComplexLines> noise(int size) {
    std::vector<ComplexLines> values(static_cast<std::size_t>(size));
    for (std::size_t i = 0; i < values.size(); ++i)
        for (std::size_t line = 0; line < lines_at_once; ++line) {
            const auto place = static_cast<std::uint32_t>(i * lines_at_once + line);
            values[i].re[line] = hashed_place(place, 1u) - 0.5f;
            values[i].im[line] = hashed_place(place, 2u) - 0.5f;
        }
    return values;
}

std::complex<double> value(const ComplexLines& lines, std::size_t line) {
    return {static_cast<double>(lines.re[line]), static_cast<double>(lines.im[line])};
}

}  // namespace

TEST_CASE("transforms of every kind of length are what their definition says") {
    for (const int size : {1, 2, 3, 4, 5, 6, 8, 15, 16, 60, 81, 125, 240, 486}) {
        CAPTURE(size);
        const auto before = noise(size);
        auto after = before;
        std::vector<ComplexLines> room(before.size());
        const FourierTransform transform(size);
        transform.forward(after.data(), room.data());
        double largest = 0.0;
        for (const std::size_t line : {std::size_t{0}, std::size_t{7}, lines_at_once - 1})
            for (int k = 0; k < size; ++k) {
                std::complex<double> sum = 0.0;
                for (int x = 0; x < size; ++x)
                    sum += value(before[static_cast<std::size_t>(x)], line) *
                           std::polar(1.0, -2.0 * pi * ((k * x) % size) / size);
                const auto found = value(after[static_cast<std::size_t>(k)], line);
                largest = std::max(largest, std::abs(found - sum));
            }
        // Some steps in single precision on sums of about the root of the number of values.
        CHECK(largest < 1e-6 * std::sqrt(size));
        transform.back(after.data(), room.data());
        double off = 0.0;
        for (std::size_t i = 0; i < before.size(); ++i)
            for (std::size_t line = 0; line < lines_at_once; ++line)
                off = std::max(off, std::abs(value(after[i], line) / static_cast<double>(size) -
                                             value(before[i], line)));
        CHECK(off < 1e-6);
    }
}

TEST_CASE("lengths that transforms are fast for") {
    CHECK(FourierTransform::fast_size(0) == 1);
    CHECK(FourierTransform::fast_size(7) == 8);
    CHECK(FourierTransform::fast_size(1451) == 1458);  // 2 times 3 to the sixth
    CHECK(FourierTransform::fast_size(1950) == 2000);  // 2 to the fourth times 5 to the third
    CHECK(FourierTransform::fast_size(2000) == 2000);
}
