// One lamp's light on one tile of film: where its rays go, and where none are needed.
//
// Unshadowed light costs no rays and is summed for every film sample. What rays must find is the
// share of it that arrives:
//  1. every pixel of a plain block asks a few instants, different ones in each, and where the share
//     is smooth over a neighbourhood (visibility_field.h) that is enough;
//  2. elsewhere each pixel is solved by itself, or each of its film samples where several surfaces
//     meet: every such receiver keeps a record (visibility_record.h). A plain block takes its
//     number of instants from what its neighbours met, others are refined as a whole; edges are
//     narrowed until the pixel's expected error is within the bound.
// Rays wait in a queue, so that packets are full whatever receivers they are for.
//
// What was learnt the hard way:
//  - Never refine a receiver because of what it met itself. Those that met a thin shadow then count
//    its true width and those that missed it none: a pole of 3 cm lost four fifths of its shadow.
//    Half as many instants at first, and more where the bound asks for them, lost a tenth of it.
//  - The film samples of a pixel must have equal parts in every lattice (`sample_at`); a plain
//    "every other one" erred by a tenth of the light.
//  - Where surfaces meet, every film sample has a record of its own: joining those that looked
//  alike
//    laid the light of one stone on the next and doubled the error at the same number of rays. In
//    plain blocks a pixel is one receiver, unless its neighbours foretell more than 64 instants.
//  - The bound is on a pixel's own light halfway to the lamp's usual light on the film: bound by
//  its
//    own alone, nearly all rays go to pixels too dark to see.
//  - A picture is looked at in one size, so bounds and instants of a quality are those of 960 x
//  640,
//    and many small pixels may each err more (`scaled_to`).
// Single pixels that see a glint through a gap can be missed altogether.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "renderer/lamp_light/irradiance_field.h"
#include "renderer/lamp_light/shutter_integral.h"
#include "renderer/lamp_light/visibility_field.h"
#include "renderer/lamp_light/visibility_record.h"
#include "renderer/sampling/effort.h"

namespace lampflight {

/// A lamp cut into legs.
struct LegsOfLamp {
    const LampTrack* track;
    std::vector<LampLeg> legs;
    /// What it typically leaves on the film: luminance over time, times pi. Errors are weighed
    /// halfway between each pixel's own light and this: a pixel at a hundredth of it may err ten
    /// times as much of its own. 0 weighs by the pixel alone.
    float usual_light = 0.0f;
};

/// Cuts a lamp into legs and looks at a hundred places on the film for its usual light.
LegsOfLamp look_at(const LampTrack& track, const CameraRays& camera_rays, const glm::ivec2& pixels);

class LampTile {
public:
    /// Takes up another tile. `view` must outlive the use.
    void begin(const TileView& view, const Effort& effort, std::uint32_t seed);

    /// Mean over each pixel's film samples of reflectance times light, in lux seconds.
    void light(const LegsOfLamp& lamp, const RayQuery& rays);

    const glm::vec3& reflected_lxs(std::size_t pixel) const { return reflected_lxs_[pixel]; }

    /// Shadow rays asked since `begin`.
    std::uint64_t rays() const { return rays_asked_; }

private:
    // Bounds on how far the weighing by the lamp's usual light moves a pixel's allowed error.
    static constexpr float most_strict = 0.25f;
    static constexpr float most_lenient = 4.0f;

    /// Film samples of a pixel that share a record.
    struct Receiver {
        int lane;
        std::size_t first_sample;
        std::size_t samples;
        float light;         ///< luminance it would send unshadowed
        bool asked = false;  ///< since its last estimate
        VisibilityRecord record;
        VisibilityRecord::Estimate estimate;
    };
    /// Luminance and its variance by what its receivers know.
    struct Pixel {
        float bright = 0.0f;  ///< that arrives; never far below what might
        float still_variance = 0.0f;
        float edge_variance = 0.0f;
    };
    struct Ask {
        std::uint16_t receiver;
        std::int8_t instant;  ///< on the lattice, or -1
        std::int8_t edge;     ///< to narrow, or -1
    };
    struct First {
        std::vector<Lanes> light;  ///< one a first instant
        std::vector<LaneMask> lit;
    };
    /// What every step on a leg needs.
    struct Job {
        const LampTrack& track;
        const LampLeg& leg;
        const RayQuery& rays;
        float usual_light;
    };

    class Remainder;

    void light_leg(const Job& job);
    void set_clocks(const Job& job);
    void set_own_clocks(const Job& job, std::size_t block, float shift);
    void measure(const Job& job, std::size_t clock);
    void mark_dark(std::size_t block);
    void ask_first(const Job& job, std::size_t block);
    void solve(const Job& job, std::size_t block);
    void gather_receivers(std::size_t block, bool as_one);
    int level_of(std::size_t block, const Receiver& receiver) const;
    int instants_for(const Job& job, std::size_t block) const;
    float leniency(const Job& job, std::size_t block) const;
    float allowed_variance(const Pixel& pixel, float usual_light) const;
    void sort_queue();
    template <class Visit>
    void for_each_pixel(Visit visit);
    static Pixel sum_of(std::span<const Receiver> receivers);
    bool refine_together(std::size_t block, float usual_light);
    void narrow_doubtful(float usual_light);
    template <class Visit>
    void for_each_cell(Visit visit);
    static float mean_visibility(std::span<Receiver* const> cell);
    void compare_cells();
    void blend_cells();
    /// Share of its own variance that a pixel keeps when it is blended with its cell.
    float left_variance() const { return 0.25f + 0.75f * own_share_; }
    float usual_visibility() const;
    void ask_all(const Job& job, std::size_t block);
    void answer(const Job& job, std::size_t block, std::size_t first, int count);
    glm::vec3 unshadowed(const Job& job, std::size_t block, std::size_t sample, int lane) const;
    int first_offset(std::size_t block, int lane) const;
    const LightClock& clock_of(std::size_t block, std::size_t sample, int lane) const;

    const TileView* view_ = nullptr;
    const Effort* effort_ = nullptr;
    std::uint32_t seed_ = 0;
    VisibilityField field_;
    std::array<LightClock, tile_blocks / 4> clock_;                  ///< one for 2 x 2 blocks
    std::array<IrradianceField, tile_blocks / 4> irradiance_field_;  ///< of the same
    std::vector<LightClock> own_clock_;  ///< of film samples, lane by lane
    std::array<std::optional<std::size_t>, tile_blocks> first_own_clock_;  ///< of a block's
    std::array<std::vector<Lanes>, tile_blocks> unshadowed_lxs_;           ///< one a film sample
    std::array<bool, tile_blocks> dark_;  ///< no light reaches, shadow or not
    std::array<First, tile_blocks> first_;
    std::array<std::uint32_t, tile_blocks> key_;
    std::vector<Receiver> receivers_;
    int solved_instants_ = 0;  ///< of the block at hand
    std::vector<Ask> sorted_;
    float own_share_ = 1.0f;  ///< of a pixel's departure from its cell's mean that is real
    std::vector<Ask> queue_;
    TileOf<glm::vec3> reflected_lxs_;
    std::uint64_t rays_asked_ = 0;
};

}  // namespace lampflight
