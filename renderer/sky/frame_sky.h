// The sky's mean over the frame at any moment of an evening, from a few domes of sun and moon.
// Both have domes of their own, for one lux on the ground, at moments halved until what lies
// between is straight: an evening takes 30 to 60 domes and is read to 0.03 stops.
#pragma once

#include <stop_token>
#include <vector>

#include <glm/glm.hpp>

#include "renderer/air/atmosphere.h"
#include "renderer/sky/sky.h"
#include "scene/shoot/shoot.h"
#include "scene/sky/night_sky.h"

namespace lampflight {

/// Places on the film that see the open sky over a level horizon.
class FrameView {
public:
    explicit FrameView(const Camera& camera);

    /// False where the frame ends below the horizon; it then looks at the horizon ahead.
    bool shows_sky() const { return shows_sky_; }

    /// Mean of luminance times lens factor, in cd/m2, linear Rec. 709.
    glm::vec3 film_cd_m2(const Sky& sky) const;

private:
    struct Ray {
        glm::vec3 direction;
        float lens_factor;
    };
    std::vector<Ray> rays_;
    bool shows_sky_ = true;
};

/// What the sky over a place lays on the film: H in lux seconds is its value times t / N^2. Discs
/// and stars are left out. Light of a body for each lux that it lays on level ground changes
/// slowly, so domes are made where it bends and read linearly between, to 0.02 stops or so.
class FrameSky {
public:
    /// For moments between two times, in seconds of UTC since 1970-01-01. The shoot must have a
    /// place and be kept. Of no use once stopped.
    FrameSky(const Shoot& shoot, double from_s, double to_s, const std::stop_token& stop = {});

    bool shows_sky() const { return view_.shows_sky(); }

    /// Mean over the frame's sky of luminance times lens factor, in cd/m2, linear Rec. 709.
    glm::vec3 film_cd_m2(double unix_s) const;

    /// How many domes were made.
    std::size_t domes() const { return sun_.size() + moon_.size() + 1; }

private:
    /// Light of one body on film for one lux of it on level ground.
    struct Node {
        double unix_s;
        double log_luminance;  ///< binary
        glm::vec3 colour;      ///< at luminance 1
    };
    using Nodes = std::vector<Node>;
    enum class Body { sun, moon };

    NightSky night_at(double unix_s) const;
    double share_of(Body body, double unix_s) const;
    Node node_at(Body body, double unix_s) const;
    Nodes nodes_of(Body body, double from_s, double to_s) const;
    void add_between(Body body, const Node& from, const Node& to, Nodes& nodes) const;
    static glm::vec3 read(const Nodes& nodes, double unix_s);

    const Shoot& shoot_;
    std::stop_token stop_;
    FrameView view_;
    Atmosphere air_;
    glm::vec3 night_cd_m2_;  ///< what shines without sun and moon
    Nodes sun_;
    Nodes moon_;
};

}  // namespace lampflight
