// Relighting by layers: what can be changed of a shoot once its light is on film, and what the
// change makes of it. Every layer holds light of one source, so that strength and colour of the
// source, the aperture and all of the development can still be chosen; what moves light about the
// frame can not.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "scene/keys/override.h"
#include "scene/shoot/layer_id.h"
#include "scene/shoot/shoot.h"

namespace lampflight {

/// Why an override can't be followed without the scene being rendered again, in one sentence;
/// nothing for one that can, or that the reader of the scene has to judge.
std::optional<std::string> trouble_with_retuning(const Override& change);

/// What the change from one valid shoot to another makes of the light of its takes.
class Retuning {
public:
    /// Refers to both.
    Retuning(const Shoot& before, const Shoot& after);

    /// Why a take of both shoots can't be had from its light on film; nothing where it can.
    std::optional<std::string> trouble_with_take(const std::string& take) const;

    /// Factor on the linear Rec. 709 exposure of one of the take's layers, 1 where nothing has
    /// changed; nothing where its lamp is out.
    std::optional<Rgb> gain(const std::string& take, const LayerId& layer) const;

private:
    /// Names of the lamps that burn in each take: to find them, flights are flown.
    using LitByTake = std::map<std::string, std::vector<std::string>>;
    static LitByTake lit_in(const Shoot& shoot);

    const Shoot& before_;
    const Shoot& after_;
    LitByTake lit_before_, lit_after_;
};

/// How wide a point is drawn on the film, in pixels of the picture.
struct Sharpness {
    double blur_px;  ///< circle of defocus (depth_of_field.h)
    double airy_px;  ///< diameter of the first dark ring: 2.44 N x 550 nm
};

Sharpness sharpness_at(const Camera& camera, double f_number, double depth_m);

/// Where another f-number would draw a take's surfaces most unlike the one they were drawn with.
struct SharpnessChange {
    double depth_m;  ///< infinity for the sky
    Sharpness before;
    Sharpness after;
};

/// The depth among those of the sky, the subjects, and the nearest ground in the frame at which the
/// width changes most; nothing where it stays within half a pixel everywhere.
std::optional<SharpnessChange> visible_change(const Shoot& shoot, const Take& take,
                                              double f_number_before, double f_number_after);

}  // namespace lampflight
