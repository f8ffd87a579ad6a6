#include "cli/pictures/srgb_profile.h"

#include <array>
#include <cstdint>
#include <map>

#include "scene/basics/vector.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

std::uint32_t number_at(const std::string& bytes, std::size_t at) {
    std::uint32_t number = 0;
    for (std::size_t i = 0; i < 4; ++i)
        number = number << 8 | static_cast<unsigned char>(bytes.at(at + i));
    return number;
}

double fixed_at(const std::string& bytes, std::size_t at) {
    return static_cast<std::int32_t>(number_at(bytes, at)) / 65536.0;
}

/// The tags by name, as ISO 15076-1, 7.3 lays them out.
std::map<std::string, std::string> tags_of(const std::string& profile) {
    std::map<std::string, std::string> tags;
    for (std::uint32_t i = 0; i < number_at(profile, 128); ++i) {
        const std::size_t entry = 132 + 12 * i;
        const std::size_t begin = number_at(profile, entry + 4);
        CHECK(begin % 4 == 0);
        REQUIRE(begin + number_at(profile, entry + 8) <= profile.size());
        tags[profile.substr(entry, 4)] = profile.substr(begin, number_at(profile, entry + 8));
    }
    return tags;
}

glm::dvec3 xyz_of(double x, double y) {
    return {x / y, 1.0, (1.0 - x - y) / y};
}

/// IEC 61966-2-1: primaries and white as CIE xy, adapted to D50 by Bradford's cone responses.
glm::dmat3 colorants_d50() {
    glm::dmat3 primaries(xyz_of(0.64, 0.33), xyz_of(0.30, 0.60), xyz_of(0.15, 0.06));
    const glm::dvec3 white = xyz_of(0.3127, 0.3290);
    const glm::dvec3 amounts = glm::inverse(primaries) * white;
    for (int c = 0; c < 3; ++c) primaries[c] *= amounts[c];
    const glm::dmat3 cones = glm::transpose(
        glm::dmat3(0.8951, 0.2664, -0.1614, -0.7502, 1.7135, 0.0367, 0.0389, -0.0685, 1.0296));
    const glm::dvec3 gains = (cones * glm::dvec3(0.9642, 1.0, 0.8249)) / (cones * white);
    const glm::dmat3 scaled(glm::dvec3(gains.x, 0, 0), glm::dvec3(0, gains.y, 0),
                            glm::dvec3(0, 0, gains.z));
    return glm::inverse(cones) * scaled * cones * primaries;
}

}  // namespace

TEST_CASE("the profile's header and size") {
    const std::string profile = srgb_profile();
    CHECK(number_at(profile, 0) == profile.size());
    CHECK(profile.substr(12, 12) == "mntrRGB XYZ ");
    CHECK(profile.substr(36, 4) == "acsp");
    CHECK(profile == srgb_profile());
}

TEST_CASE("the profile's primaries are sRGB's under D50, and its curve is sRGB's") {
    const auto tags = tags_of(srgb_profile());
    for (const char* needed :
         {"desc", "cprt", "wtpt", "chad", "rXYZ", "gXYZ", "bXYZ", "rTRC", "gTRC", "bTRC"}) {
        CAPTURE(needed);
        REQUIRE(tags.contains(needed));
    }
    const glm::dmat3 expected = colorants_d50();
    const std::array<const char*, 3> names{"rXYZ", "gXYZ", "bXYZ"};
    for (int c = 0; c < 3; ++c)
        for (int i = 0; i < 3; ++i)
            CHECK_WITHIN(fixed_at(tags.at(names[static_cast<std::size_t>(c)]),
                                  8 + 4 * static_cast<std::size_t>(i)),
                         expected[c][i], 2e-5);
    const std::array<double, 5> curve{2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045};
    for (std::size_t i = 0; i < curve.size(); ++i)
        CHECK_WITHIN(fixed_at(tags.at("gTRC"), 12 + 4 * i), curve[i], 1e-5);
}
