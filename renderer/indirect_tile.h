// Light from the hemisphere over one tile of film. A pixel's own rays leave it noisy, but such light
// is smooth along a surface, and the pixels of a neighbourhood ask in different directions: each
// takes the mean of those around it that lie on the same surface.
#pragma once

#include <array>
#include <vector>

#include <glm/glm.hpp>

namespace lampflight {

class IndirectTile {
public:
    static constexpr int side_px = 32;

    /// Empties the tile; `sources` are the sky and the lamps.
    void reset(std::size_t sources);

    /// One film sample's surface in a pixel.
    void add_surface(int x, int y, const glm::vec3& position_m, const glm::vec3& face_normal,
                     const glm::vec3& reflectance);

    /// What falls on that surface from a source.
    void add_light(int x, int y, std::size_t source, const glm::vec3& reflectance,
                   const glm::vec3& light);

    /// Replaces the light by its means over neighbours. `spread` is a pixel's width per unit of
    /// distance from the lens.
    void smooth(const glm::vec3& lens_m, float spread);

    /// Sum over the film samples of reflectance times light.
    glm::vec3 reflected(int x, int y, std::size_t source) const;

private:
    struct Pixel {
        glm::vec3 position_m{0.0f};
        glm::vec3 normal{0.0f};
        glm::vec3 reflectance{0.0f};
        float samples = 0.0f;
        float patch_m = 0.0f;  ///< width of the surface that the pixel sees
    };

    static std::size_t index(int x, int y) { return static_cast<std::size_t>(y * side_px + x); }
    float likeness(const Pixel& a, const Pixel& b) const;

    std::array<Pixel, side_px * side_px> pixels_;
    std::vector<std::array<glm::vec3, side_px * side_px>> light_;
    std::vector<std::array<glm::vec3, side_px * side_px>> smoothed_;
};

}  // namespace lampflight
