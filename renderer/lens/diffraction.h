// Diffraction kernels: what diffraction makes of a point on the pixels of one camera, in kernels
// that hand over to each other: the nearer, the finer the pixels.
//
// The iris's transform is a sum over its polygon's edges near the middle, which a Fourier transform
// of a drawn pupil cannot match (its steps throw rays of their own), and Fresnel integrals over
// bowed blades beyond, where pixels and wavelengths blur the rings (iris.h).
#pragma once

#include <array>
#include <vector>

#include "scene/camera/camera.h"

namespace lampflight {

/// Weights about a pixel for each of three colours, alike on opposite sides.
struct SpreadKernel {
    int radius = 0;
    std::array<std::vector<float>, 3> taps;  ///< rows from the top, 2 radius + 1 each way

    int side() const { return 2 * radius + 1; }
    float at(std::size_t colour, int x, int y) const {
        return taps[colour][static_cast<std::size_t>((y + radius) * side() + x + radius)];
    }
    glm::vec3 sum() const;
};

/// Wavelengths that stand for red, green and blue, near the middles of the bands in which Rec.
/// 709's primaries and a sensor's filters have their light (no source).
constexpr std::array<double, 3> band_wavelength_mm{610e-6, 545e-6, 465e-6};

/// Light within a few pixels by the picture's own, farther out by pixels of twice the side.
struct FineKernels {
    SpreadKernel near;
    SpreadKernel mid;
};

/// With the rest by pixels of four times the side, either pair adds up to 1. Points and thin lines
/// far above white show the side of the pixels that they are spread by; surfaces and sky do not,
/// and as they fill the frame, every tap counts. Those keep within half an 8-bit code of what the
/// trails' pair would make of them, edges of a thousand to one included.
struct DiffractionKernels {
    FineKernels surfaces;
    FineKernels trails;
    SpreadKernel far;
};

/// How many pixels of its own each kernel reaches to either side; the wider of the two where
/// surfaces and trails differ.
struct KernelRadii {
    int near;
    int mid;
    int far;
};

/// Those of `diffraction_kernels`, without making them.
KernelRadii kernel_radii(const Camera& camera, double f_number);

/// Of the camera's lens at an f-number, to about a third of the picture's width. Each band is the
/// mean over a tenth of its wavelength to either side.
DiffractionKernels diffraction_kernels(const Camera& camera, double f_number);

}  // namespace lampflight
