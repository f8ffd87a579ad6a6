#include "scene/flights/straying.h"

namespace lampflight {

Straying::Straying(const StrayingSize& size, std::uint64_t) : size_(size) {}
Vec3 Straying::offset_m(double) const {
    return Vec3(0.0);
}
Vec3 Straying::acceleration_m_s2(double) const {
    return Vec3(0.0);
}
Vec3 Straying::gust_m_s(double) const {
    return Vec3(0.0);
}

}  // namespace lampflight
