#include "renderer/lens/fourier_convolution.h"

#include <kissfft/kiss_fft.h>
#include <kissfft/kiss_fftr.h>
#include <tbb/enumerable_thread_specific.h>
#include <tbb/parallel_for.h>

#include <algorithm>
#include <cstdlib>
#include <memory>
#include <new>
#include <type_traits>
#include <vector>

namespace lampflight {
namespace {

constexpr int rows_at_once = 32;
constexpr int columns_at_once = 16;  // of a row two lines of a cache

/// One dimension's transforms. Not for two threads at once.
template <class Plan, Plan (*alloc)(int, int, void*, std::size_t*)>
class LineTransform {
public:
    LineTransform(int size, bool inverse)
        : plan_(alloc(size, inverse ? 1 : 0, nullptr, nullptr), [](Plan plan) { free(plan); }) {
        if (!plan_) throw std::bad_alloc();
    }
    Plan get() const { return plan_.get(); }

private:
    std::unique_ptr<std::remove_pointer_t<Plan>, void (*)(Plan)> plan_;
};

using RowTransform = LineTransform<kiss_fftr_cfg, kiss_fftr_alloc>;
using ColumnTransform = LineTransform<kiss_fft_cfg, kiss_fft_alloc>;

std::size_t offset(int line, int length) {
    return static_cast<std::size_t>(line) * static_cast<std::size_t>(length);
}

template <int at_once, class Work>
void for_lines(int count, Work work) {
    tbb::parallel_for(0, (count + at_once - 1) / at_once, [&](int batch) {
        work(batch * at_once, std::min((batch + 1) * at_once, count));
    });
}

/// Transforms pictures that are a ring both ways and dark but for some rows: dark rows are neither
/// kept nor transformed.
class Ring {
public:
    /// Of so many rows, of which the first lies at `first`, from minus the ring's height on.
    Ring(const glm::ivec2& size, int first, int rows)
        : size_(size),
          first_(first),
          rows_(rows),
          columns_(size.x / 2 + 1),
          by_rows_(offset(rows, columns_)),
          workers_(size) {}

    /// `fill(row, line)` fills a line of zeros.
    template <class Fill>
    void transform_rows(Fill fill) {
        for_lines<rows_at_once>(rows_, [&](int begin, int end) {
            Worker& worker = workers_.local();
            for (int row = begin; row < end; ++row) {
                std::ranges::fill(worker.line, 0.0f);
                fill(row, worker.line.data());
                kiss_fftr(worker.row.get(), worker.line.data(), spectrum_of(row));
            }
        });
    }

    /// Transforms columns; `look(column, spectrum)` is shown each.
    template <class Look>
    void transform_columns(Look look) {
        for_columns([&](Worker& worker, int begin, int end) {
            for (int x = begin; x < end; ++x) {
                kiss_fft(worker.column.get(), column(worker, x - begin), worker.spectrum.data());
                look(x, worker.spectrum.data());
            }
        });
    }

    /// The same, and back with what `change` makes of each spectrum.
    template <class Change>
    void change_columns(Change change) {
        for_columns([&](Worker& worker, int begin, int end) {
            for (int x = begin; x < end; ++x) {
                kiss_fft_cpx* const values = column(worker, x - begin);
                kiss_fft(worker.column.get(), values, worker.spectrum.data());
                change(x, worker.spectrum.data());
                kiss_fft(worker.column_back.get(), worker.spectrum.data(), values);
            }
            for (int row = 0; row < rows_; ++row)
                for (int x = begin; x < end; ++x)
                    spectrum_of(row)[x] = column(worker, x - begin)[place_of(row)];
        });
    }

    /// `take(row, line)` takes a line of values, times their number on the ring.
    template <class Take>
    void transform_rows_back(Take take) {
        for_lines<rows_at_once>(rows_, [&](int begin, int end) {
            Worker& worker = workers_.local();
            for (int row = begin; row < end; ++row) {
                kiss_fftri(worker.row_back.get(), spectrum_of(row), worker.line.data());
                take(row, worker.line.data());
            }
        });
    }

private:
    /// What a thread works with.
    struct Worker {
        explicit Worker(const glm::ivec2& size)
            : row(size.x, false),
              row_back(size.x, true),
              column(size.y, false),
              column_back(size.y, true),
              line(static_cast<std::size_t>(size.x)),
              columns(offset(columns_at_once, size.y)),
              spectrum(static_cast<std::size_t>(size.y)) {}

        RowTransform row, row_back;
        ColumnTransform column, column_back;
        std::vector<float> line;
        std::vector<kiss_fft_cpx> columns;
        std::vector<kiss_fft_cpx> spectrum;
    };

    kiss_fft_cpx* spectrum_of(int row) { return by_rows_.data() + offset(row, columns_); }

    kiss_fft_cpx* column(Worker& worker, int number) const {
        return worker.columns.data() + offset(number, size_.y);
    }

    int place_of(int row) const { return (row + first_ + size_.y) % size_.y; }

    /// Takes columns from the rows' spectra: a few at once make use of all that is read with one.
    template <class Work>
    void for_columns(Work work) {
        for_lines<columns_at_once>(columns_, [&](int begin, int end) {
            Worker& worker = workers_.local();
            std::ranges::fill(worker.columns, kiss_fft_cpx{0.0f, 0.0f});
            for (int row = 0; row < rows_; ++row)
                for (int x = begin; x < end; ++x)
                    column(worker, x - begin)[place_of(row)] = spectrum_of(row)[x];
            work(worker, begin, end);
        });
    }

    glm::ivec2 size_;
    int first_;
    int rows_;
    int columns_;  ///< of a spectrum's half, which says it all
    FilmBuffer<kiss_fft_cpx> by_rows_;
    tbb::enumerable_thread_specific<Worker> workers_;
};

/// Room for a picture and a kernel's reach beyond one edge: as the transform's picture is a ring,
/// both ends share it.
int room_for(int picture_side, const SpreadKernel& kernel) {
    return kiss_fftr_next_fast_size_real(std::max(picture_side + kernel.radius, kernel.side()));
}

}  // namespace

FourierConvolution::FourierConvolution(const SpreadKernel& kernel, const glm::ivec2& picture_size)
    : size_(room_for(picture_size.x, kernel), room_for(picture_size.y, kernel)) {
    Ring ring(size_, -kernel.radius, kernel.side());
    const float per_value = 1.0f / (static_cast<float>(size_.x) * static_cast<float>(size_.y));
    for (std::size_t colour = 0; colour < 3; ++colour) {
        ring.transform_rows([&](int row, float* line) {
            for (int x = -kernel.radius; x <= kernel.radius; ++x)
                line[x < 0 ? x + size_.x : x] =
                    per_value * kernel.at(colour, x, row - kernel.radius);
        });
        FilmBuffer<float>& spectrum = kernel_[colour];
        spectrum = FilmBuffer<float>(offset(size_.x / 2 + 1, size_.y));
        ring.transform_columns([&](int x, const kiss_fft_cpx* column) {
            std::transform(column, column + size_.y, spectrum.data() + offset(x, size_.y),
                           [](const kiss_fft_cpx& value) { return value.r; });
        });
    }
}

Image FourierConvolution::of(const Image& picture) const {
    Image sum(picture.width, picture.height);
    Ring ring(size_, 0, picture.height);
    for (std::size_t colour = 0; colour < 3; ++colour) {
        ring.transform_rows([&](int y, float* line) {
            const float* const from = floats_of(picture.row(y)) + colour;
            for (int x = 0; x < picture.width; ++x) line[x] = from[3 * x];
        });
        ring.change_columns([&](int x, kiss_fft_cpx* column) {
            const float* const kernel = kernel_[colour].data() + offset(x, size_.y);
            for (int y = 0; y < size_.y; ++y) {
                column[y].r *= kernel[y];
                column[y].i *= kernel[y];
            }
        });
        ring.transform_rows_back([&](int y, const float* line) {
            float* const to = floats_of(sum.row(y)) + colour;
            for (int x = 0; x < sum.width; ++x) to[3 * x] = std::max(0.0f, line[x]);
        });
    }
    return sum;
}

}  // namespace lampflight
