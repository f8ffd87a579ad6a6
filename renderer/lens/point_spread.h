// The lens's point spread: diffraction by the iris and veiling glare, laid on film in linear light.
//
// A reduced picture keeps the parts of a trail's pixel as they are, times the share that the spread
// leaves in the pixel, and lays the rest evenly: parts clip by themselves, what the lens spreads is
// smooth. Left out: aberrations that grow off the axis or as the lens opens, ghosts, halation.
#pragma once

#include <map>

#include "renderer/lens/blur.h"
#include "renderer/lens/convolve.h"
#include "renderer/lens/diffraction.h"
#include "renderer/lens/fourier_convolution.h"
#include "renderer/lens/glare.h"
#include "renderer/lens/sparse_image.h"

namespace lampflight {

/// Of a camera's lens at an f-number. Light is kept but for what leaves the frame; the cost hardly
/// depends on how far it goes. A film is focal-plane lux seconds as the lens's geometry draws them,
/// for the camera's pixels: `surfaces` reads what fills the frame (an empty function: nothing),
/// `trails` is what is small and may be bright, and is spread more finely.
class PointSpread {
public:
    PointSpread(const Camera& camera, double f_number);

    /// Of a film what the spread of single rows needs to know of all of it; made from its surfaces
    /// at half their size.
    struct FarLight {
        Image half;  ///< surfaces at half the size
        SparseImage half_trails;
        Image quarter;  ///< what goes farthest, at a quarter
    };
    FarLight far_light(Image half, const SparseImage& trails) const;

    /// Room that is kept from one call to the next.
    struct Room {
        Image half;
        std::vector<float> taps;
    };

    /// Fills rows with the film as the lens spreads it. `rows.sum` is as wide as the film. Works
    /// alone; several threads may be at it, each with room of its own.
    void lay(const ReadRow& surfaces, const SparseImage& trails, const FarLight& far_light,
             const TapConvolution::Rows& rows, Room& room) const;

    /// All rows, by all threads.
    Image laid_on(const ReadRow& surfaces, const SparseImage& trails) const;

    /// Share of a trail's light in a pixel that stays in it, a colour at a time.
    glm::vec3 kept_share() const { return kept_share_; }

    /// Share that lands within some pixels of where it belongs.
    glm::vec3 near_share() const { return near_share_; }

private:
    PointSpread(const Camera& camera, const std::vector<Halo>& glare,
                const DiffractionKernels& kernels);

    glm::ivec2 size_;
    std::vector<Halo> glare_;
    TapConvolution near_;  ///< with the narrow glare in it, as the next three
    TapConvolution mid_;
    SparseConvolution trails_near_;
    SparseConvolution trails_mid_;
    FourierConvolution far_;
    glm::vec3 kept_share_;
    glm::vec3 near_share_;
};

/// Those of a camera's lens, each worked out when first asked for.
class PointSpreads {
public:
    /// Refers to the camera.
    explicit PointSpreads(const Camera& camera) : camera_(camera) {}

    const PointSpread& at(double f_number) {
        return known_.try_emplace(f_number, camera_, f_number).first->second;
    }

private:
    const Camera& camera_;
    std::map<double, PointSpread> known_;
};

}  // namespace lampflight
