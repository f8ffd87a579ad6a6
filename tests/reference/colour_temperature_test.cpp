// Published chromaticities, colours and gels by colour temperature.
#include <algorithm>
#include <array>
#include <functional>

#include "scene/basics/colour.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

using Row3 = std::array<double, 3>;
using Rows = std::array<Row3, 3>;

// Derived from the primaries and white of ITU-R BT.709-6 by SMPTE RP 177 (equals
// colour.normalised_primary_matrix of colour-science 0.4.6).
constexpr Rows rgb_to_xyz{{{0.4123907993, 0.3575843394, 0.1804807884},
                           {0.2126390059, 0.7151686788, 0.0721923154},
                           {0.0193308187, 0.1191947798, 0.9505321522}}};
constexpr Rows xyz_to_rgb{{{3.240969942, -1.537383178, -0.4986107603},
                           {-0.9692436363, 1.875967501, 0.0415550574},
                           {0.0556300797, -0.2039769589, 1.056971514}}};
// colour-science/colour, colour/adaptation/datasets/cat.py (Lindbloom).
constexpr Rows bradford_cones{
    {{0.8951, 0.2664, -0.1614}, {-0.7502, 1.7135, 0.0367}, {0.0389, -0.0685, 1.0296}}};
constexpr Vec2 d65{0.3127, 0.3290};  // CIE 15

// Plain arithmetic of this file's own, to stand against the matrices of the code under test.
Row3 times(const Rows& rows, const Row3& column) {
    Row3 product{};
    for (std::size_t i = 0; i < 3; ++i)
        for (std::size_t j = 0; j < 3; ++j) product[i] += rows[i][j] * column[j];
    return product;
}

Rows times(const Rows& left, const Rows& right) {
    Rows product{};
    for (std::size_t i = 0; i < 3; ++i)
        for (std::size_t j = 0; j < 3; ++j)
            for (std::size_t k = 0; k < 3; ++k) product[i][j] += left[i][k] * right[k][j];
    return product;
}

/// By cofactors.
Rows inverse(const Rows& m) {
    Rows cofactors{};
    for (std::size_t i = 0; i < 3; ++i)
        for (std::size_t j = 0; j < 3; ++j) {
            const std::size_t a = (i + 1) % 3, b = (i + 2) % 3, c = (j + 1) % 3, d = (j + 2) % 3;
            cofactors[i][j] = m[a][c] * m[b][d] - m[a][d] * m[b][c];
        }
    double determinant = 0.0;
    for (std::size_t j = 0; j < 3; ++j) determinant += m[0][j] * cofactors[0][j];
    Rows result{};
    for (std::size_t i = 0; i < 3; ++i)
        for (std::size_t j = 0; j < 3; ++j) result[j][i] = cofactors[i][j] / determinant;
    return result;
}

Row3 xyz_at(const Vec2& xy) {
    return {xy.x / xy.y, 1.0, (1.0 - xy.x - xy.y) / xy.y};
}

Rows adaptation(const Vec2& from, const Vec2& to) {
    const Row3 from_cones = times(bradford_cones, xyz_at(from));
    const Row3 to_cones = times(bradford_cones, xyz_at(to));
    Rows scaled = bradford_cones;
    for (std::size_t i = 0; i < 3; ++i)
        for (double& entry : scaled[i]) entry *= to_cones[i] / from_cones[i];
    return times(inverse(bradford_cones), scaled);
}

Vec3 rgb_at(const Vec2& xy) {
    const Row3 rgb = times(xyz_to_rgb, xyz_at(xy));
    return {rgb[0], rgb[1], rgb[2]};
}

Vec3 balanced(const Vec2& lamp, const Vec2& white) {
    const Row3 rgb = times(xyz_to_rgb, times(adaptation(white, d65), xyz_at(lamp)));
    return {rgb[0], rgb[1], rgb[2]};
}

struct Locus {
    double temperature_k;
    Vec2 exact;        // CIE 1931 2 degree functions, 360 to 830 nm, 1 nm sums; CODATA 2018 c2
    Vec2 approximate;  // Kang et al. 2002, colour-science colour/temperature/kang2002.py
    double apart;      // between the two, as tabulated
};

// Exact: colour matching functions of colour-science, colour/colorimetry/datasets/cmfs.py,
// computed.
constexpr std::array loci{Locus{2700.0, {0.459859, 0.410599}, {0.459314, 0.4106602}, 5.49e-4},
                          Locus{2856.0, {0.4475351, 0.4074283}, {0.4470707, 0.4075088}, 4.71e-4},
                          Locus{3200.0, {0.4233596, 0.3989516}, {0.4231818, 0.3990777}, 2.18e-4},
                          Locus{4000.0, {0.3804395, 0.3767468}, {0.3805283, 0.3767335}, 8.97e-5},
                          Locus{5000.0, {0.3451012, 0.351608}, {0.3449917, 0.3515867}, 1.12e-4},
                          Locus{5500.0, {0.3324344, 0.3410352}, {0.3323363, 0.3410395}, 9.82e-5},
                          Locus{5600.0, {0.3301979, 0.3390794}, {0.330105, 0.3390879}, 9.32e-5},
                          Locus{6500.0, {0.3135259, 0.3236283}, {0.3134941, 0.3236625}, 4.67e-5}};

const Locus& locus_at(double temperature_k) {
    return *std::find_if(loci.begin(), loci.end(),
                         [&](const Locus& locus) { return locus.temperature_k == temperature_k; });
}

/// Steepest change of a channel (or any number) with chromaticity, per unit of xy.
double slope(const std::function<double(const Vec2&)>& value, const Vec2& xy) {
    constexpr double step = 1e-6;
    const Vec2 along_x{step, 0.0}, along_y{0.0, step};
    return glm::length(Vec2(value(xy + along_x) - value(xy - along_x),
                            value(xy + along_y) - value(xy - along_y))) /
           (2.0 * step);
}

// Rows below hold for the exact locus. The approximation lies `apart` from it, so a channel may
// differ by its slope times that, with a twentieth more for curvature; then the table's own 1e-4,
// and 1e-4 of the value because luminance is made 1 with the standard's weights of four decimals.
double allowance(double slope_by_apart, double value) {
    return 1.05 * slope_by_apart + 1e-4 + 1e-4 * std::abs(value);
}

}  // namespace

TEST_CASE("Planckian chromaticity follows Kang et al. and keeps to the exact locus") {
    for (const Locus& locus : loci) {
        const Vec2 xy = planckian_xy(locus.temperature_k);
        CHECK_WITHIN(xy.x, locus.approximate.x, 1e-6);
        CHECK_WITHIN(xy.y, locus.approximate.y, 1e-6);
        CHECK_WITHIN(xy, locus.exact, 6e-4);
    }
    // CIE illuminant A, CIE 15: (0.44758, 0.40745); the same 6e-4.
    CHECK_WITHIN(planckian_xy(2856.0), Vec2(0.44758, 0.40745), 6e-4);
}

// Computed with colour-science 0.4.6 from the exact xy and the BT.709 matrix.
TEST_CASE("linear Rec. 709 of Planckian light at luminance 1") {
    struct Row {
        double temperature_k;
        Vec3 rgb;
    };
    constexpr std::array rows{
        Row{2700.0, {1.9351, 0.803553, 0.191796}},  Row{3200.0, {1.67979, 0.865933, 0.32582}},
        Row{4000.0, {1.414, 0.924006, 0.533417}},   Row{5500.0, {1.14445, 0.970956, 0.862267}},
        Row{5600.0, {1.13237, 0.972642, 0.881118}}, Row{6500.0, {1.04338, 0.983571, 1.03497}}};
    for (const Row& row : rows) {
        const Locus& locus = locus_at(row.temperature_k);
        const Rgb colour = planckian_rgb(row.temperature_k);
        for (int channel = 0; channel < 3; ++channel) {
            CHECK_WITHIN(rgb_at(locus.exact)[channel], row.rgb[channel], 1e-4);
            const double steepest =
                slope([&](const Vec2& xy) { return rgb_at(xy)[channel]; }, locus.exact);
            CHECK_WITHIN(colour[channel], row.rgb[channel],
                         allowance(steepest * locus.apart, row.rgb[channel]));
            // From the same xy only the luminance weights differ.
            CHECK_RELATIVE(colour[channel], rgb_at(locus.approximate)[channel], 1e-4);
        }
    }
}

TEST_CASE("this file's own adaptation agrees with the published matrix") {
    // D65 to D50, von Kries scaling in Bradford space: colour.adaptation of colour-science 0.4.6.
    constexpr Rows published{{{1.04792979, 0.02294687, -0.05019227},
                              {0.02962781, 0.99043443, -0.0170738},
                              {-0.00924304, 0.01505519, 0.75187428}}};
    const Rows computed = adaptation(d65, {0.3457, 0.3585});
    for (std::size_t i = 0; i < 3; ++i)
        for (std::size_t j = 0; j < 3; ++j) CHECK_WITHIN(computed[i][j], published[i][j], 1e-6);
}

// colour.adaptation.matrix_chromatic_adaptation_VonKries of colour-science 0.4.6, exact locus.
TEST_CASE("white balance is Bradford adaptation from the Planckian white to D65") {
    struct Row {
        double temperature_k;
        Rows matrix;
    };
    constexpr std::array rows{Row{3200.0,
                                  {{{0.86538922, -0.09215696, 0.27903441},
                                    {-0.11014612, 1.07590219, 0.09201546},
                                    {0.05542739, -0.09302032, 2.52197257}}}},
                              Row{5600.0,
                                  {{{0.96772794, -0.01719721, 0.02591153},
                                    {-0.02354026, 1.01389876, 0.00925295},
                                    {0.00416083, -0.00636327, 1.11894559}}}}};
    for (const Row& row : rows) {
        const Locus& locus = locus_at(row.temperature_k);
        const glm::dmat3 matrix = white_balance_matrix({.temperature_k = row.temperature_k});
        Rows on_rgb{};
        for (std::size_t i = 0; i < 3; ++i)
            for (std::size_t j = 0; j < 3; ++j)
                on_rgb[i][j] = matrix[static_cast<int>(j)][static_cast<int>(i)];
        const Rows on_xyz = times(rgb_to_xyz, times(on_rgb, xyz_to_rgb));
        const Rows same_white = adaptation(locus.approximate, d65);
        for (std::size_t i = 0; i < 3; ++i)
            for (std::size_t j = 0; j < 3; ++j) {
                const double steepest =
                    slope([&](const Vec2& xy) { return adaptation(xy, d65)[i][j]; }, locus.exact);
                CHECK_WITHIN(on_xyz[i][j], row.matrix[i][j], 1.05 * steepest * locus.apart + 1e-6);
                // The xy of the row above is printed to seven digits.
                CHECK_WITHIN(on_xyz[i][j], same_white[i][j], 5e-6);
            }
    }
}

// Lamp and white balance both on the exact locus, Bradford, output D65; computed with
// colour-science 0.4.6.
TEST_CASE("a lamp's colour under a white balance") {
    struct Row {
        double lamp_k, white_k;
        Vec3 rgb;
    };
    constexpr std::array rows{Row{3200.0, 5500.0, {1.52303, 0.895528, 0.388539}},
                              Row{5600.0, 5500.0, {0.988199, 1.00164, 1.02149}},
                              Row{3200.0, 4000.0, {1.25212, 0.943338, 0.643975}},
                              Row{6500.0, 4000.0, {0.645162, 1.05313, 1.85988}}};
    for (const Row& row : rows) {
        const Locus& lamp = locus_at(row.lamp_k);
        const Locus& white = locus_at(row.white_k);
        const Rgb seen =
            white_balance_matrix({.temperature_k = row.white_k}) * planckian_rgb(row.lamp_k);
        for (int channel = 0; channel < 3; ++channel) {
            CHECK_WITHIN(balanced(lamp.exact, white.exact)[channel], row.rgb[channel], 1e-4);
            const double by_lamp = slope(
                [&](const Vec2& xy) { return balanced(xy, white.exact)[channel]; }, lamp.exact);
            const double by_white = slope(
                [&](const Vec2& xy) { return balanced(lamp.exact, xy)[channel]; }, white.exact);
            CHECK_WITHIN(
                seen[channel], row.rgb[channel],
                allowance(by_lamp * lamp.apart + by_white * white.apart, row.rgb[channel]));
        }
    }
}

// Definition of the mired, arithmetic.
TEST_CASE("mired shifts between temperatures") {
    struct Row {
        double from_k, to_k, shift_mired;
    };
    constexpr std::array rows{Row{5600.0, 3200.0, 133.9286}, Row{5500.0, 3200.0, 130.6818},
                              Row{6500.0, 3200.0, 158.6538}, Row{6500.0, 3800.0, 109.3117},
                              Row{6500.0, 4600.0, 63.54515}, Row{6500.0, 5550.0, 26.33403},
                              Row{5500.0, 2700.0, 188.5522}};
    // The shift is given to 1e-4 mired: T^2 / 1e6 of it in kelvin.
    for (const Row& row : rows)
        CHECK_WITHIN(shifted_temperature_k(row.from_k, row.shift_mired), row.to_k,
                     1e-4 * row.to_k * row.to_k / 1e6);
}

// Shifts of the common orange correction gels: common practice, from memory; temperatures computed.
TEST_CASE("orange gels in front of daylight lamps") {
    struct Row {
        double shift_mired;
        Vec3 from_6500_5600_5500_k;
    };
    constexpr std::array rows{
        Row{159.0, {3196.46, 2962.34, 2934.12}}, Row{109.0, {3804.51, 3477.4, 3438.57}},
        Row{64.0, {4590.4, 4122.5, 4068.05}}, Row{26.0, {5560.31, 4888.27, 4811.9}}};
    for (const Row& row : rows) {
        CHECK_WITHIN(shifted_temperature_k(6500.0, row.shift_mired), row.from_6500_5600_5500_k.x,
                     0.006);
        CHECK_WITHIN(shifted_temperature_k(5600.0, row.shift_mired), row.from_6500_5600_5500_k.y,
                     0.006);
        CHECK_WITHIN(shifted_temperature_k(5500.0, row.shift_mired), row.from_6500_5600_5500_k.z,
                     0.006);
    }
}
