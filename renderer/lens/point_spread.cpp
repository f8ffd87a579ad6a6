#include "renderer/lens/point_spread.h"

#include <tbb/enumerable_thread_specific.h>
#include <tbb/parallel_for.h>

#include <algorithm>
#include <utility>

namespace lampflight {
namespace {

constexpr int band_rows = 64;

std::vector<Halo> glare_of(const Camera& camera) {
    return glare_halos(camera.lens.glare_share, camera.lens.glare_falloff, camera.pixels.y);
}

/// Diffraction of what the glass does not scatter; narrow glare with it.
DiffractionKernels kernels_of(const Camera& camera, double f_number,
                              const std::vector<Halo>& glare) {
    DiffractionKernels kernels = diffraction_kernels(camera, f_number);
    const auto straight = static_cast<float>(1.0 - camera.lens.glare_share);
    const auto dim = [&](SpreadKernel& kernel) {
        for (auto& taps : kernel.taps)
            for (float& tap : taps) tap *= straight;
    };
    dim(kernels.far);
    for (FineKernels* pair : {&kernels.surfaces, &kernels.trails}) {
        dim(pair->near);
        dim(pair->mid);
        add_narrow_halos(glare, camera.pixels, pair->near, pair->mid);
    }
    return kernels;
}

}  // namespace

PointSpread::PointSpread(const Camera& camera, double f_number)
    : PointSpread(camera, glare_of(camera), kernels_of(camera, f_number, glare_of(camera))) {}

PointSpread::PointSpread(const Camera& camera, const std::vector<Halo>& glare,
                         const DiffractionKernels& kernels)
    : size_(camera.pixels),
      glare_(glare),
      near_(kernels.surfaces.near),
      mid_(kernels.surfaces.mid),
      trails_near_(kernels.trails.near),
      trails_mid_(kernels.trails.mid),
      far_(kernels.far, half_of(half_of(size_))),
      near_share_(kernels.trails.near.sum()) {
    for (int colour = 0; colour < 3; ++colour)
        kept_share_[colour] = kernels.trails.near.at(static_cast<std::size_t>(colour), 0, 0);
}

PointSpread::FarLight PointSpread::far_light(Image half, const SparseImage& trails) const {
    SparseImage half_trails = halved(trails);
    const Image quarter = halved(half.width, half.height, [&](int y, Row row) {
        std::ranges::copy(half.row(y), row.begin());
        add_row(half_trails, y, row);
    });
    Image sum = far_.of(quarter);
    add_wide_halos(glare_, size_, quarter, sum);
    return {std::move(half), std::move(half_trails), std::move(sum)};
}

void PointSpread::lay(const ReadRow& surfaces, const SparseImage& trails, const FarLight& far_light,
                      const TapConvolution::Rows& rows, Room& room) const {
    // Rows at twice the size are made from one at half more to either side.
    const Image& half = far_light.half;
    const int first = std::max(0, rows.first / 2 - 1);
    const int end = std::min(half.height, (rows.end - 1) / 2 + 2);
    if (room.half.width != half.width || room.half.height != end - first)
        room.half = Image(half.width, end - first);
    Doubling to_half(half.width);
    for (int y = first; y < end; ++y)
        to_half.row(far_light.quarter, 0, y, room.half.row(y - first));
    const auto half_rows = [&](int y, Row row) { std::ranges::copy(half.row(y), row.begin()); };
    const TapConvolution::Rows to_half_rows{half.height, first, end, room.half, first};
    if (surfaces) mid_.add_rows(half_rows, to_half_rows, room.taps);
    trails_mid_.add_rows(far_light.half_trails, to_half_rows);

    Doubling to_whole(size_.x);
    for (int y = rows.first; y < rows.end; ++y)
        to_whole.row(room.half, first, y, rows.sum.row(y - rows.top));
    if (surfaces) near_.add_rows(surfaces, rows, room.taps);
    trails_near_.add_rows(trails, rows);
}

Image PointSpread::laid_on(const ReadRow& surfaces, const SparseImage& trails) const {
    const glm::ivec2 half = half_of(size_);
    const FarLight far =
        far_light(surfaces ? halved(size_.x, size_.y, surfaces) : Image(half.x, half.y), trails);
    Image sum(size_.x, size_.y);
    tbb::enumerable_thread_specific<Room> rooms;
    tbb::parallel_for(0, (size_.y + band_rows - 1) / band_rows, [&](int band) {
        const int first = band * band_rows;
        const int end = std::min(first + band_rows, size_.y);
        lay(surfaces, trails, far, {size_.y, first, end, sum, 0}, rooms.local());
    });
    return sum;
}

}  // namespace lampflight
