#include "renderer/film/image.h"

namespace lampflight {

void add_scaled(Row sum, ConstRow more, float factor) {
    float* to = floats_of(sum);
    const float* from = floats_of(more);
    for (std::size_t i = 0; i < 3 * sum.size(); ++i) to[i] += factor * from[i];
}

}  // namespace lampflight
