// Comparison of numbers, and of vectors by their distance, that prints what it compared.
#pragma once

#include <doctest/doctest.h>

#include <cmath>

#include <glm/glm.hpp>

namespace lampflight {

inline double apart(double one, double other) {
    return std::abs(one - other);
}
inline double apart(const glm::dvec2& one, const glm::dvec2& other) {
    return glm::distance(one, other);
}
inline double apart(const glm::dvec3& one, const glm::dvec3& other) {
    return glm::distance(one, other);
}

inline doctest::String shown(double value) {
    return doctest::toString(value);
}
inline doctest::String shown(const glm::dvec2& value) {
    return doctest::toString(value.x) + ", " + doctest::toString(value.y);
}
inline doctest::String shown(const glm::dvec3& value) {
    return shown(glm::dvec2(value)) + ", " + doctest::toString(value.z);
}

}  // namespace lampflight

/// NaN fails, as it should.
#define CHECK_WITHIN(actual, expected, tolerance)                                               \
    CHECK_MESSAGE(lampflight::apart((actual), (expected)) <= (tolerance), #actual " is ",       \
                  lampflight::shown(actual), ", not ", lampflight::shown(expected), " within ", \
                  (tolerance))

#define CHECK_RELATIVE(actual, expected, share) \
    CHECK_WITHIN(actual, expected, (share)*std::abs(expected))
