#include "renderer/fourier_convolution.h"

#include <kissfft/kiss_fft.h>
#include <kissfft/kiss_fftr.h>
#include <tbb/parallel_for.h>

#include <algorithm>
#include <cstdlib>
#include <memory>
#include <type_traits>
#include <vector>

namespace lampflight {
namespace {

constexpr int lines_at_once = 32;

/// One dimension's transforms. Not for two threads at once.
template <class Plan, Plan (*alloc)(int, int, void*, std::size_t*)>
class LineTransform {
public:
    LineTransform(int size, bool inverse)
        : plan_(alloc(size, inverse ? 1 : 0, nullptr, nullptr), [](Plan plan) { free(plan); }) {}
    Plan get() const { return plan_.get(); }

private:
    std::unique_ptr<std::remove_pointer_t<Plan>, void (*)(Plan)> plan_;
};

using RowTransform = LineTransform<kiss_fftr_cfg, kiss_fftr_alloc>;
using ColumnTransform = LineTransform<kiss_fft_cfg, kiss_fft_alloc>;

std::size_t offset(int line, int length) {
    return static_cast<std::size_t>(line) * static_cast<std::size_t>(length);
}

template <class Work>
void for_lines(int count, Work work) {
    tbb::parallel_for(0, (count + lines_at_once - 1) / lines_at_once, [&](int batch) {
        work(batch * lines_at_once, std::min((batch + 1) * lines_at_once, count));
    });
}

/// A real picture that is a ring both ways, and its spectrum. Room is kept from one colour to the
/// next, as fresh memory costs as much as the sums.
class Ring {
public:
    explicit Ring(const glm::ivec2& size)
        : size_(size),
          columns_(size.x / 2 + 1),
          values_(offset(size.y, size.x)),
          by_rows_(offset(size.y, columns_)),
          spectrum_(by_rows_.size()) {}

    float* row(int y) { return values_.data() + offset(y, size_.x); }

    /// Of the half that says it all, column by column.
    FilmBuffer<kiss_fft_cpx>& spectrum() { return spectrum_; }

    void transform() {
        for_lines(size_.y, [&](int first, int end) {
            const RowTransform rows(size_.x, false);
            for (int y = first; y < end; ++y)
                kiss_fftr(rows.get(), row(y), &by_rows_[offset(y, columns_)]);
        });
        for_lines(columns_, [&](int first, int end) {
            const ColumnTransform lines(size_.y, false);
            for (int x = first; x < end; ++x)
                kiss_fft_stride(lines.get(), by_rows_.data() + x, &spectrum_[offset(x, size_.y)],
                                columns_);
        });
    }

    /// Times the number of values.
    void transform_back() {
        for_lines(columns_, [&](int first, int end) {
            const ColumnTransform lines(size_.y, true);
            std::vector<kiss_fft_cpx> column(static_cast<std::size_t>(size_.y));
            for (int x = first; x < end; ++x) {
                kiss_fft(lines.get(), &spectrum_[offset(x, size_.y)], column.data());
                for (int y = 0; y < size_.y; ++y)
                    by_rows_[offset(y, columns_) + static_cast<std::size_t>(x)] =
                        column[static_cast<std::size_t>(y)];
            }
        });
        for_lines(size_.y, [&](int first, int end) {
            const RowTransform rows(size_.x, true);
            for (int y = first; y < end; ++y)
                kiss_fftri(rows.get(), &by_rows_[offset(y, columns_)], row(y));
        });
    }

private:
    glm::ivec2 size_;
    int columns_;
    FilmBuffer<float> values_;
    FilmBuffer<kiss_fft_cpx> by_rows_;
    FilmBuffer<kiss_fft_cpx> spectrum_;
};

/// Room for a picture and a kernel's reach beyond one edge: as the transform's picture is a ring,
/// both ends share it.
int room_for(int picture_side, const SpreadKernel& kernel) {
    return kiss_fftr_next_fast_size_real(std::max(picture_side + kernel.radius, kernel.side()));
}

}  // namespace

FourierConvolution::FourierConvolution(const SpreadKernel& kernel, const glm::ivec2& picture_size)
    : size_(room_for(picture_size.x, kernel), room_for(picture_size.y, kernel)) {
    Ring ring(size_);
    const float per_value = 1.0f / (static_cast<float>(size_.x) * static_cast<float>(size_.y));
    for (std::size_t colour = 0; colour < 3; ++colour) {
        for (int y = -kernel.radius; y <= kernel.radius; ++y) {
            float* const row = ring.row(y < 0 ? y + size_.y : y);
            for (int x = -kernel.radius; x <= kernel.radius; ++x)
                row[x < 0 ? x + size_.x : x] = per_value * kernel.at(colour, x, y);
        }
        ring.transform();
        kernel_[colour] = FilmBuffer<float>(ring.spectrum().size());
        std::ranges::transform(ring.spectrum(), kernel_[colour].begin(), &kiss_fft_cpx::r);
    }
}

Image FourierConvolution::of(const Image& picture) const {
    Image sum(picture.width, picture.height);
    Ring ring(size_);
    for (std::size_t colour = 0; colour < 3; ++colour) {
        tbb::parallel_for(0, size_.y, [&](int y) {
            std::fill_n(ring.row(y), size_.x, 0.0f);
            if (y >= picture.height) return;
            const float* const from = floats_of(picture.row(y)) + colour;
            for (int x = 0; x < picture.width; ++x) ring.row(y)[x] = from[3 * x];
        });
        ring.transform();
        const FilmBuffer<float>& kernel = kernel_[colour];
        tbb::parallel_for(std::size_t{0}, kernel.size(), [&](std::size_t i) {
            ring.spectrum()[i].r *= kernel[i];
            ring.spectrum()[i].i *= kernel[i];
        });
        ring.transform_back();
        tbb::parallel_for(0, sum.height, [&](int y) {
            float* const to = floats_of(sum.row(y)) + colour;
            for (int x = 0; x < sum.width; ++x) to[3 * x] = std::max(0.0f, ring.row(y)[x]);
        });
    }
    return sum;
}

}  // namespace lampflight
