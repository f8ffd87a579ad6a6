#include "renderer/fourier_convolution.h"

#include <tbb/enumerable_thread_specific.h>
#include <tbb/parallel_for.h>

#include <algorithm>
#include <cstring>

namespace lampflight {
namespace {

constexpr int lines = static_cast<int>(lines_at_once);
constexpr std::size_t floats_a_place = 2 * lines_at_once;
static_assert(sizeof(ComplexLines) == floats_a_place * sizeof(float));
constexpr int rows_at_once = 2 * lines;  // two real rows make one of complex numbers

std::size_t as_index(int number) {
    return static_cast<std::size_t>(number);
}

/// Values and room of a batch of transforms; kept, as fresh memory costs as much as the sums.
class Batches {
public:
    explicit Batches(int longest) : longest_(as_index(longest)) {}

    ComplexLines* mine() {
        std::vector<ComplexLines>& batch = batches_.local();
        batch.resize(2 * longest_);
        return batch.data();
    }
    ComplexLines* room_of(ComplexLines* batch) const { return batch + longest_; }

private:
    std::size_t longest_;
    tbb::enumerable_thread_specific<std::vector<ComplexLines>> batches_;
};

/// The spectrum of a real picture that is a ring both ways: sixteen columns side by side, each from
/// its first row to its last, of the half that says it all.
class RingSpectrum {
public:
    RingSpectrum(const FourierTransform& across, const FourierTransform& down)
        : across_(across),
          down_(down),
          columns_(across.size() / 2 + 1),
          values_(as_index((columns_ + lines - 1) / lines) * as_index(down.size()) *
                  floats_a_place),
          batches_(std::max(across.size(), down.size())) {}

    /// `fill(y, line)` fills a row of the ring, or says that it is dark.
    template <class Fill>
    void transform_rows(const Fill& fill) {
        tbb::parallel_for(0, (down_.size() + rows_at_once - 1) / rows_at_once, [&](int batch) {
            ComplexLines* const values = batches_.mine();
            if (load_rows(fill, batch * rows_at_once, values))
                across_.forward(values, batches_.room_of(values));
            part_rows(values, batch * rows_at_once);
        });
    }

    /// Each sixteen columns go there, through `change(first, columns)`, `first` being the place of
    /// their first number among all, and on request back.
    template <class Change>
    void transform_columns(const Change& change, bool and_back) {
        const std::size_t rows = as_index(down_.size());
        tbb::parallel_for(std::size_t{0}, places() / rows, [&](std::size_t block) {
            ComplexLines* const columns = batches_.mine();
            float* const kept = values_.data() + block * rows * floats_a_place;
            std::memcpy(columns, kept, rows * sizeof(ComplexLines));
            down_.forward(columns, batches_.room_of(columns));
            change(block * rows, columns);
            if (!and_back) return;
            down_.back(columns, batches_.room_of(columns));
            std::memcpy(kept, columns, rows * sizeof(ComplexLines));
        });
    }

    /// Hands over the picture's first rows, each once.
    template <class Keep>
    void rows_back(int count, const Keep& keep) {
        tbb::parallel_for(0, (count + rows_at_once - 1) / rows_at_once, [&](int batch) {
            ComplexLines* const values = batches_.mine();
            join_rows(values, batch * rows_at_once);
            across_.back(values, batches_.room_of(values));
            std::vector<float> line(as_index(across_.size()));
            for (int i = 0; i < rows_at_once && batch * rows_at_once + i < count; ++i) {
                for (std::size_t x = 0; x < line.size(); ++x)
                    line[x] = (i % 2 == 0 ? values[x].re : values[x].im)[as_index(i / 2)];
                keep(batch * rows_at_once + i, line);
            }
        });
    }

    /// Of sixteen numbers each.
    std::size_t places() const { return values_.size() / floats_a_place; }

private:
    template <class Fill>
    bool load_rows(const Fill& fill, int first, ComplexLines* values) const {
        std::vector<float> line(as_index(across_.size()));
        std::fill_n(values, line.size(), ComplexLines{});
        bool any = false;
        for (int i = 0; i < rows_at_once && first + i < down_.size(); ++i) {
            if (!fill(first + i, line)) continue;
            any = true;
            for (std::size_t x = 0; x < line.size(); ++x)
                (i % 2 == 0 ? values[x].re : values[x].im)[as_index(i / 2)] = line[x];
        }
        return any;
    }

    /// Parts two real rows a, b that were transformed as a + i b: a's spectrum is alike at k and at
    /// -k but for its sign of i.
    void part_rows(const ComplexLines* values, int first) {
        const int count = std::min(rows_at_once, down_.size() - first);
        for (int k = 0; k < columns_; ++k) {
            const ComplexLines& here = values[k];
            const ComplexLines& there = values[k == 0 ? 0 : across_.size() - k];
            const std::array<ComplexLines, 2> rows{
                {{0.5f * (here.re + there.re), 0.5f * (here.im - there.im)},
                 {0.5f * (here.im + there.im), 0.5f * (there.re - here.re)}}};
            float* to = column(k, first);
            for (int i = 0; i < count; ++i, to += floats_a_place) {
                to[0] = rows[as_index(i % 2)].re[as_index(i / 2)];
                to[lines] = rows[as_index(i % 2)].im[as_index(i / 2)];
            }
        }
    }

    void join_rows(ComplexLines* values, int first) {
        const int count = std::min(rows_at_once, down_.size() - first);
        for (int k = 0; k < columns_; ++k) {
            std::array<ComplexLines, 2> rows{};
            const float* from = column(k, first);
            for (int i = 0; i < count; ++i, from += floats_a_place) {
                rows[as_index(i % 2)].re[as_index(i / 2)] = from[0];
                rows[as_index(i % 2)].im[as_index(i / 2)] = from[lines];
            }
            const auto& [a, b] = rows;
            if (k > 0) values[across_.size() - k] = {a.re + b.im, b.re - a.im};
            values[k] = {a.re - b.im, a.im + b.re};
        }
    }

    /// Where a column's real part in a row is; its imaginary part lies `lines` behind it.
    float* column(int k, int row) {
        const std::size_t place = as_index(k / lines) * as_index(down_.size()) + as_index(row);
        return values_.data() + place * floats_a_place + as_index(k % lines);
    }

    const FourierTransform& across_;
    const FourierTransform& down_;
    int columns_;
    FilmBuffer<float> values_;
    Batches batches_;
};

/// Room for a picture and a kernel's reach beyond one edge: as the transform's picture is a ring,
/// both ends share it.
int room_for(int picture_side, const SpreadKernel& kernel) {
    return FourierTransform::fast_size(std::max(picture_side + kernel.radius, kernel.side()));
}

}  // namespace

FourierConvolution::FourierConvolution(const SpreadKernel& kernel, const glm::ivec2& picture_size)
    : across_(room_for(picture_size.x, kernel)), down_(room_for(picture_size.y, kernel)) {
    RingSpectrum spectrum(across_, down_);
    const float per_value =
        1.0f / (static_cast<float>(across_.size()) * static_cast<float>(down_.size()));
    for (std::size_t colour = 0; colour < 3; ++colour) {
        spectrum.transform_rows([&](int y, std::vector<float>& line) {
            const int from_middle = y <= kernel.radius ? y : y - down_.size();
            if (from_middle < -kernel.radius) return false;
            std::ranges::fill(line, 0.0f);
            for (int x = -kernel.radius; x <= kernel.radius; ++x)
                line[as_index(x < 0 ? x + across_.size() : x)] =
                    per_value * kernel.at(colour, x, from_middle);
            return true;
        });
        kernel_[colour] = FilmBuffer<float>(spectrum.places() * lines_at_once);
        const auto keep = [&](std::size_t first, const ComplexLines* columns) {
            float* to = kernel_[colour].data() + first * lines_at_once;
            for (int i = 0; i < down_.size(); ++i, to += lines_at_once)
                std::memcpy(to, &columns[i].re, sizeof(LineValues));
        };
        spectrum.transform_columns(keep, false);
    }
}

Image FourierConvolution::of(const Image& picture) const {
    Image sum(picture.width, picture.height);
    RingSpectrum spectrum(across_, down_);
    for (std::size_t colour = 0; colour < 3; ++colour) {
        spectrum.transform_rows([&](int y, std::vector<float>& line) {
            if (y >= picture.height) return false;
            const float* from = floats_of(picture.row(y)) + colour;
            for (std::size_t x = 0; x < as_index(picture.width); ++x) line[x] = from[3 * x];
            return true;
        });
        const auto multiply = [&](std::size_t first, ComplexLines* columns) {
            const float* from = kernel_[colour].data() + first * lines_at_once;
            for (int i = 0; i < down_.size(); ++i, from += lines_at_once) {
                LineValues factor;
                std::memcpy(&factor, from, sizeof factor);
                columns[i].re *= factor;
                columns[i].im *= factor;
            }
        };
        spectrum.transform_columns(multiply, true);
        spectrum.rows_back(picture.height, [&](int y, const std::vector<float>& line) {
            float* to = floats_of(sum.row(y)) + colour;
            for (std::size_t x = 0; x < as_index(picture.width); ++x)
                to[3 * x] = std::max(0.0f, line[x]);
        });
    }
    return sum;
}

}  // namespace lampflight
