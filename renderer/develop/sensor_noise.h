// The noise of the sensor's counts: shot noise of light and of dark electrons (Poisson), and the
// noise of reading. It is kept as deviates, in units of a count's own root mean square, so that a
// neighbour's may be lent to a pixel of other brightness.
//
// Left out: rounding to a raw file's steps, rows and columns of fixed pattern, hot pixels, reading
// noise that falls as the ISO rises, lost sharpness of demosaicing. A count below none stays there
// until tone: a mean of takes would else lift the blacks.
#pragma once

#include <array>
#include <cstdint>
#include <span>
#include <string_view>
#include <vector>

#include "scene/camera/camera.h"

namespace lampflight {

/// Whether a picture has the sensor's noise in it.
enum class Noise { left_out, counted };

/// A row of the picture by the sensor's colours (red, green, blue): lux seconds, or deviates.
using ColourRow = std::array<std::vector<float>, 3>;

/// Fills in the deviates of counts about their means: a Poisson count of `mean_e` electrons, plus
/// reading noise whose mean square is `read_e2`, less the mean, over the root of mean_e + read_e2.
/// Counts of up to 6 are drawn exactly, larger ones by an expansion that keeps mean and variance
/// within 3e-4. A fixed function of key and place in the row; `first` is the first place.
void draw_deviates(std::span<const float> mean_e, float read_e2, std::uint32_t key,
                   std::uint32_t first, std::span<float> deviates);

/// Key of a take's noise: another seed, name or go at it, other noise.
std::uint32_t noise_key(int seed, std::string_view take, int go = 1);

/// Noise of a picture taken with a camera. Where a pixel of the picture is one of the sensor's
/// (less than two across), every pixel counts one colour in the pattern of Bayer (US patent
/// 3971065), red first, and the noise of the two others is lent by its neighbours, as in developing
/// a raw file: grain is then as coarse as a photographer knows it. In a reduced picture a pixel
/// joins a quarter of its sensor pixels in red, half in green, a quarter in blue.
class SensorNoise {
public:
    SensorNoise(const Camera& camera, double shutter_s, std::uint32_t key);

    /// Whether a row's deviates depend on the `rows_lent` rows above and below.
    bool from_mosaic() const { return from_mosaic_; }
    static constexpr int rows_lent = 2;

    /// Deviates of what each pixel of a row counts itself, from exposures in lux seconds: of a
    /// mosaic in the first colour's place, with a margin at either end; else by colour. Rows beyond
    /// the frame may be asked for.
    void draw(int y, const ColourRow& exposure_lxs, ColourRow& deviates) const;

    /// Deviates of all three colours from those of a mosaic's rows y - 2 to y + 2. All pixels of a
    /// colour get the same mean square, counted or lent: else a lattice would show where the
    /// brightest of several takes is kept. Summed over many pixels, every count weighs the same.
    using MosaicRows = std::array<const ColourRow*, 2 * rows_lent + 1>;
    void lend(int y, const MosaicRows& rows, ColourRow& deviates) const;

    /// Adds the noise that deviates mean at the exposure of their place.
    void lay_on(const ColourRow& deviates, ColourRow& exposure_lxs) const;

private:
    void draw_mosaic(int y, const ColourRow& exposure_lxs, std::vector<float>& deviates) const;
    void lend_green(int y, const MosaicRows& rows, std::vector<float>& deviates) const;

    bool from_mosaic_;
    std::uint32_t key_;
    std::array<float, 3> joined_;  ///< sensor pixels that a count joins, by colour
    float electrons_per_lxs_;      ///< of a sensor pixel
    float dark_e_;
    float read_e2_;
};

}  // namespace lampflight
