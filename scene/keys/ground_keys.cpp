#include "scene/keys/key_rows.h"

namespace lampflight {

std::vector<Key> ground_keys() {
    const Tie rough_only{"kind", {"rough"}};
    return {
        {"kind", field<&Shoot::ground, &Ground::kind>, "Level and smooth, or with relief."},
        {"reflectance", field<&Shoot::ground, &Ground::reflectance>,
         "Share of red, green and blue light that the ground sends back.", "", share},
        tied(rough_only, {"roughness_m", field<&Shoot::ground, &Ground::roughness_m>,
                          "Height of the relief, root mean square.", "m", Range{0.0, 1.0}}),
        tied(rough_only, {"far_hills_m", field<&Shoot::ground, &Ground::far_hills_m>,
                          "Height of the hills on the horizon, a few kilometres off.", "m",
                          Range{0.0, 3000.0}}),
        tied(rough_only, {"seed", field<&Shoot::ground, &Ground::seed>,
                          "Another number makes another relief.", "", Range{0.0, 1e6}}),
    };
}

}  // namespace lampflight
