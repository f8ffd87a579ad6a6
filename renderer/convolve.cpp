#include "renderer/convolve.h"

#include <kissfft/kiss_fft.h>
#include <kissfft/kiss_fftr.h>
#include <tbb/parallel_for.h>

#include <algorithm>
#include <cstdlib>
#include <memory>

namespace lampflight {
namespace {

constexpr int band_rows = 64;  // many for a kernel's reach, few for the caches
constexpr std::size_t strip = 64;

struct Tap {
    int x, y;
    float weight;
};

std::vector<Tap> taps_of(const SpreadKernel& kernel, std::size_t colour) {
    std::vector<Tap> taps;
    for (int y = -kernel.radius; y <= kernel.radius; ++y)
        for (int x = -kernel.radius; x <= kernel.radius; ++x)
            if (const float weight = kernel.at(colour, x, y); weight != 0.0f)
                taps.push_back({x, y, weight});
    return taps;
}

/// One colour of a band of rows, with room for a kernel's reach all round.
class Plane {
public:
    Plane(int width, int rows, int room)
        : room_(room),
          stride_((static_cast<std::size_t>(width) + strip - 1) / strip * strip +
                  2 * static_cast<std::size_t>(room)),
          values_(stride_ * static_cast<std::size_t>(rows + 2 * room)) {}

    float* at(int x, int y) {
        return values_.data() + static_cast<std::size_t>(y + room_) * stride_ +
               static_cast<std::size_t>(x + room_);
    }
    std::ptrdiff_t stride() const { return static_cast<std::ptrdiff_t>(stride_); }

private:
    int room_;
    std::size_t stride_;
    std::vector<float> values_;
};

/// Eight numbers that a compiler keeps in one register where there are such, from anywhere.
using Floats = float __attribute__((vector_size(32), aligned(4), may_alias));

/// Sums all taps for some pixels side by side, which stay in registers meanwhile.
void sum_strip(const float* from, std::ptrdiff_t stride, const std::vector<Tap>& taps,
               std::array<float, strip>& to) {
    constexpr std::size_t count = strip / 8;
    Floats sum[count] = {};
    for (const Tap& tap : taps) {
        const auto* moved = reinterpret_cast<const Floats*>(from + tap.y * stride + tap.x);
        for (std::size_t i = 0; i < count; ++i) sum[i] += tap.weight * moved[i];
    }
    for (std::size_t i = 0; i < count; ++i) reinterpret_cast<Floats*>(to.data())[i] = sum[i];
}

/// Where a place beyond an edge lies in its mirror image.
int mirrored(int place, int count) {
    const int turn = ((place % (2 * count)) + 2 * count) % (2 * count);
    return turn < count ? turn : 2 * count - 1 - turn;
}

void add_band(const ReadRow& from, int first, int end, const std::array<std::vector<Tap>, 3>& taps,
              int reach, Image& sum) {
    std::array<Plane, 3> planes{Plane(sum.width, end - first, reach),
                                Plane(sum.width, end - first, reach),
                                Plane(sum.width, end - first, reach)};
    std::vector<glm::vec3> row(static_cast<std::size_t>(sum.width));
    for (int y = first - reach; y < end + reach; ++y) {
        from(mirrored(y, sum.height), row);
        for (int colour = 0; colour < 3; ++colour) {
            float* to = planes[static_cast<std::size_t>(colour)].at(0, y - first);
            for (std::size_t x = 0; x < row.size(); ++x) to[x] = row[x][colour];
            for (int x = 1; x <= reach; ++x) {
                to[-x] = to[mirrored(-x, sum.width)];
                to[sum.width - 1 + x] = to[mirrored(sum.width - 1 + x, sum.width)];
            }
        }
    }
    std::array<float, strip> strip_sum;
    for (int y = first; y < end; ++y)
        for (int colour = 0; colour < 3; ++colour) {
            Plane& plane = planes[static_cast<std::size_t>(colour)];
            const Row to = sum.row(y);
            for (std::size_t x = 0; x < to.size(); x += strip) {
                sum_strip(plane.at(static_cast<int>(x), y - first), plane.stride(),
                          taps[static_cast<std::size_t>(colour)], strip_sum);
                const std::size_t count = std::min(strip, to.size() - x);
                for (std::size_t i = 0; i < count; ++i) to[x + i][colour] += strip_sum[i];
            }
        }
}

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

/// A real picture and its spectrum, which is kept column by column. Its sides are even.
struct RealPlane {
    glm::ivec2 size;
    std::vector<float> values;

    explicit RealPlane(const glm::ivec2& plane_size)
        : size(plane_size),
          values(static_cast<std::size_t>(size.x) * static_cast<std::size_t>(size.y)) {}

    float* row(int y) { return values.data() + offset(y, size.x); }
    int columns() const { return size.x / 2 + 1; }
    static std::size_t offset(int line, int length) {
        return static_cast<std::size_t>(line) * static_cast<std::size_t>(length);
    }
};

using Spectrum = std::vector<kiss_fft_cpx>;

template <class Work>
void for_lines(int count, Work work) {
    tbb::parallel_for(0, (count + band_rows - 1) / band_rows, [&](int band) {
        work(band * band_rows, std::min((band + 1) * band_rows, count));
    });
}

/// Room that is kept from one transform to the next, as fresh memory costs as much as the sums.
struct Room {
    explicit Room(const glm::ivec2& size)
        : plane(size),
          by_rows(RealPlane::offset(size.y, plane.columns())),
          spread(by_rows.size()),
          spectrum(by_rows.size()) {}

    RealPlane plane;
    Spectrum by_rows;
    Spectrum spread;    ///< of the kernel
    Spectrum spectrum;  ///< of the picture
};

void transform(RealPlane& plane, Spectrum& by_rows, Spectrum& by_columns) {
    const int columns = plane.columns();
    for_lines(plane.size.y, [&](int first, int end) {
        const RowTransform rows(plane.size.x, false);
        for (int y = first; y < end; ++y)
            kiss_fftr(rows.get(), plane.row(y), &by_rows[RealPlane::offset(y, columns)]);
    });
    for_lines(columns, [&](int first, int end) {
        const ColumnTransform lines(plane.size.y, false);
        for (int x = first; x < end; ++x)
            kiss_fft_stride(lines.get(), by_rows.data() + x,
                            &by_columns[RealPlane::offset(x, plane.size.y)], columns);
    });
}

/// Times the number of values.
void transform_back(const Spectrum& spectrum, Spectrum& by_rows, RealPlane& plane) {
    const int columns = plane.columns();
    for_lines(columns, [&](int first, int end) {
        const ColumnTransform transform(plane.size.y, true);
        Spectrum column(static_cast<std::size_t>(plane.size.y));
        for (int x = first; x < end; ++x) {
            kiss_fft(transform.get(), &spectrum[RealPlane::offset(x, plane.size.y)], column.data());
            for (int y = 0; y < plane.size.y; ++y)
                by_rows[RealPlane::offset(y, columns) + static_cast<std::size_t>(x)] =
                    column[static_cast<std::size_t>(y)];
        }
    });
    for_lines(plane.size.y, [&](int first, int end) {
        const RowTransform transform(plane.size.x, true);
        for (int y = first; y < end; ++y)
            kiss_fftri(transform.get(), &by_rows[RealPlane::offset(y, columns)], plane.row(y));
    });
}

/// Room for a picture and a kernel's reach beyond one edge: the transform's picture is a ring, so
/// that both ends share it.
glm::ivec2 size_of_room(const Image& from, int reach) {
    const int side = 2 * reach + 1;
    const auto fast = [](int count) { return kiss_fftr_next_fast_size_real(count); };
    return {fast(std::max(from.width + reach, side)), fast(std::max(from.height + reach, side))};
}

void fill_with(const SpreadKernel& kernel, std::size_t colour, RealPlane& plane) {
    std::ranges::fill(plane.values, 0.0f);
    const float per_value = 1.0f / static_cast<float>(plane.values.size());
    for (int y = -kernel.radius; y <= kernel.radius; ++y) {
        float* row = plane.row(y < 0 ? y + plane.size.y : y);
        for (int x = -kernel.radius; x <= kernel.radius; ++x)
            row[x < 0 ? x + plane.size.x : x] = per_value * kernel.at(colour, x, y);
    }
}

void fill_with(const Image& from, int colour, RealPlane& plane) {
    tbb::parallel_for(0, plane.size.y, [&](int y) {
        std::fill_n(plane.row(y), plane.size.x, 0.0f);
        if (y >= from.height) return;
        for (int x = 0; x < from.width; ++x) plane.row(y)[x] = from.at(x, y)[colour];
    });
}

void convolve_colour(const Image& from, const SpreadKernel& kernel, int colour, Room& room,
                     Image& to) {
    fill_with(kernel, static_cast<std::size_t>(colour), room.plane);
    transform(room.plane, room.by_rows, room.spread);
    fill_with(from, colour, room.plane);
    transform(room.plane, room.by_rows, room.spectrum);
    // A kernel alike on opposite sides has a real transform.
    for (std::size_t i = 0; i < room.spectrum.size(); ++i) {
        room.spectrum[i].r *= room.spread[i].r;
        room.spectrum[i].i *= room.spread[i].r;
    }
    transform_back(room.spectrum, room.by_rows, room.plane);
    tbb::parallel_for(0, to.height, [&](int y) {
        for (int x = 0; x < to.width; ++x)
            to.at(x, y)[colour] = std::max(0.0f, room.plane.row(y)[x]);
    });
}

}  // namespace

void add_convolved(const ReadRow& from, const SpreadKernel& kernel, Image& sum) {
    std::array<std::vector<Tap>, 3> taps;
    for (std::size_t colour = 0; colour < 3; ++colour) taps[colour] = taps_of(kernel, colour);
    tbb::parallel_for(0, (sum.height + band_rows - 1) / band_rows, [&](int band) {
        add_band(from, band * band_rows, std::min((band + 1) * band_rows, sum.height), taps,
                 kernel.radius, sum);
    });
}

Image convolved(const Image& from, const SpreadKernel& kernel) {
    Image to(from.width, from.height);
    Room room(size_of_room(from, kernel.radius));
    for (int colour = 0; colour < 3; ++colour) convolve_colour(from, kernel, colour, room, to);
    return to;
}

}  // namespace lampflight
