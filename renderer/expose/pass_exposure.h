// One pass's light on the films of the takes that use it.
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "renderer/expose/expose.h"
#include "renderer/expose/shared_passes.h"
#include "renderer/lens/defocus.h"
#include "renderer/sky/skies.h"
#include "renderer/surface_light/surface_pass.h"
#include "scene/shoot/take_moment.h"

namespace lampflight {

class PassExposure {
public:
    /// Refers to all that it is given, but to the takes and their lamps.
    PassExposure(const PlacedShoot& shoot, const std::vector<const Take*>& takes,
                 const std::vector<std::vector<LitLamp>>& lamps, const SharedPass& pass,
                 const Geometry& geometry, Skies& skies, const Effort& effort);

    /// Light that bounces. Returns false if stopped.
    bool bounce(int bounces, const std::stop_token& stop);

    /// Fills the films. Returns false if stopped.
    bool see_surfaces(const std::function<void(double)>& tile_done, const std::stop_token& stop);

    /// Hands the films out and draws the trails. Returns false if stopped.
    bool hand_out(std::vector<ExposedTake>& takes, const std::stop_token& stop);

private:
    /// A film that takes of several f-numbers see in the same way.
    struct SharedFilm {
        std::size_t sky;  ///< under which it was exposed
        LayerId layer;
        SkyLux light;  ///< whose light it shows
        double scale;  ///< that the film has in it: seconds over the square of an f-number
        std::shared_ptr<Image> film;
        bool handed_out = false;  ///< as it is, to a take or more
    };

    SkyPass sky_pass(std::size_t number, const Sky& sky) const;
    void add_lamps(const PassUse& use, const std::vector<LitLamp>& lamps);
    void share_sky(std::size_t sky, std::vector<SharedFilm>& shared);
    bool hand_out_films(std::vector<ExposedTake>& takes, const std::stop_token& stop);
    double lasting_s(const PassUse& use, const SkyLux& light) const;
    double scale_of(const PassUse& use, const SkyLux& light) const;
    const PassUse& first_use(std::size_t sky) const;
    void hand_out_shared(std::vector<ExposedTake>& takes, double f_number, SharedFilm& shared,
                         const Defocus& defocus, bool is_last) const;
    bool see_bodies(const PassUse& use, ExposedTake& take, const std::stop_token& stop) const;

    const PlacedShoot& shoot_;
    const SharedPass& pass_;
    const Effort& effort_;
    const Geometry& geometry_;
    std::vector<double> f_number_;  ///< of each take
    PassLight light_;
    std::vector<LitLamp> lit_;  ///< one for each of its lamps
};

}  // namespace lampflight
