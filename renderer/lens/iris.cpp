#include "renderer/lens/iris.h"

#include <tbb/parallel_for.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <complex>
#include <iterator>

#include "scene/basics/angle.h"
#include "scene/basics/vector.h"

namespace lampflight {
namespace {

constexpr double near_step = 0.025;  // a dark ring lies within half of it
constexpr int near_nodes = 401;      // to `exact_to`
constexpr double blend_from = 7.0;   // from exact to the mean over rings
constexpr double far_ratio = 1.05;
constexpr int angle_nodes = 25;
constexpr int pieces_a_blade = 8;
// An iris turned like this has no ray along the rows or columns of the sensor for any number of
// blades in use, as few have; no source.
constexpr double first_normal_rad = 0.13;

/// Too few blades for a polygon.
bool is_round(const Iris& iris) {
    return iris.blades < 3;
}

struct Chord {
    Vec2 middle;
    Vec2 along;
};

/// One blade's arc.
struct Arc {
    double half_chord;
    double radius;
};

/// Arc between the corners of a regular polygon, for corners at distance 1.
Arc arc_of(const Iris& iris) {
    const double open_radius = std::max(1.0, iris.closing);
    return {std::sin(pi / iris.blades), open_radius};
}

/// How far an arc bulges over its chord at `s` from the chord's middle.
double bulge(const Arc& arc, double s) {
    return std::sqrt(arc.radius * arc.radius - s * s) -
           std::sqrt(arc.radius * arc.radius - arc.half_chord * arc.half_chord);
}

/// The pupil's edge: area pi / 4, counterclockwise, the first blade's middle on the x axis.
struct Outline {
    std::vector<Chord> chords;  ///< short pieces of the arcs
    Arc arc;
};

Outline outline_of(const Iris& iris) {
    const Arc arc = arc_of(iris);
    std::vector<Vec2> corners;
    const double apothem = std::cos(pi / iris.blades);
    for (int blade = 0; blade < iris.blades; ++blade)
        for (int piece = 0; piece < pieces_a_blade; ++piece) {
            const double s = arc.half_chord * (2.0 * piece / pieces_a_blade - 1.0);
            const double turn = 2.0 * pi * blade / iris.blades;
            const double out = apothem + bulge(arc, s);
            corners.emplace_back(out * std::cos(turn) - s * std::sin(turn),
                                 out * std::sin(turn) + s * std::cos(turn));
        }
    double area = 0.0;
    std::vector<Chord> chords;
    for (std::size_t i = 0; i < corners.size(); ++i) {
        const Vec2& from = corners[i];
        const Vec2& to = corners[(i + 1) % corners.size()];
        area += 0.5 * (from.x * to.y - from.y * to.x);
        chords.push_back({0.5 * (from + to), to - from});
    }
    const double scale = std::sqrt(0.25 * pi / area);
    for (Chord& chord : chords) chord = {scale * chord.middle, scale * chord.along};
    return {std::move(chords), {scale * arc.half_chord, scale * arc.radius}};
}

/// Without the care that the library takes for infinities.
std::complex<double> product(const std::complex<double>& a, const std::complex<double>& b) {
    return {a.real() * b.real() - a.imag() * b.imag(), a.real() * b.imag() + a.imag() * b.real()};
}

/// The pattern along a direction, at steps of near_step. By Gauss's theorem the transform of an
/// area is a sum over its edges: i / k^2 times the sum of
/// (k x edge) exp(-i k . middle) sinc(k . edge / 2), with k = 2 pi q. The two last factors are
/// (exp(-i k . start) - exp(-i k . end)) / (i k . edge), so that all there is to find are the
/// phases of the corners, which turn by the same angle from step to step.
class EdgeSum {
public:
    EdgeSum(const std::vector<Chord>& chords, const Vec2& direction) {
        for (const Chord& chord : chords) {
            const double along = glm::dot(direction, chord.along);
            const double across = direction.x * chord.along.y - direction.y * chord.along.x;
            const double step = 2.0 * pi * near_step;
            const Vec2 start = chord.middle - 0.5 * chord.along;
            turn_.push_back(std::polar(1.0, -step * glm::dot(direction, start)));
            phase_.emplace_back(1.0);
            // An edge across the direction has one phase from end to end.
            const bool is_across = std::abs(along) < 1e-9 * std::abs(across);
            weight_.push_back(is_across ? 0.0 : across / along);
            flat_weight_.push_back(is_across ? across : 0.0);
        }
    }

    /// At the next step; the first is the one beside the middle.
    double next() {
        constexpr double area = 0.25 * pi;
        for (std::size_t i = 0; i < phase_.size(); ++i) phase_[i] = product(phase_[i], turn_[i]);
        const double k = 2.0 * pi * near_step * ++steps_;
        std::complex<double> sum = 0.0;
        for (std::size_t i = 0; i < phase_.size(); ++i) {
            const std::complex<double>& start = phase_[i];
            const std::complex<double>& end = phase_[i + 1 < phase_.size() ? i + 1 : 0];
            const std::complex<double> less = start - end;
            sum += weight_[i] * std::complex(less.imag(), -less.real()) +
                   0.5 * k * flat_weight_[i] * (start + end);
        }
        return std::norm(sum) / (k * k * k * k) / area;
    }

private:
    int steps_ = 0;
    std::vector<std::complex<double>> turn_, phase_;  ///< of the edges' starts
    std::vector<double> weight_, flat_weight_;
};

/// Airy's pattern.
double exact_round(double q) {
    constexpr double area = 0.25 * pi;
    const double x = pi * q;
    const double amplitude = x < 1e-4 ? 1.0 : 2.0 * std::cyl_bessel_j(1.0, x) / x;
    return area * amplitude * amplitude;
}

/// Its mean over rings, from the Bessel function's asymptote.
double mean_round(double q) {
    return 1.0 / (pi * pi * pi * q * q * q);
}

/// The part of Fresnel's integrals that turns: C(x) + i S(x) = (1 + i) / 2 - turning(x)
/// exp(i pi x^2 / 2) for x from 0 on, to 0.002 (Abramowitz & Stegun 7.3.9 with 7.3.32 and 7.3.33).
/// They are odd in x.
std::complex<double> turning(double x) {
    const double f = (1.0 + 0.926 * x) / (2.0 + 1.792 * x + 3.104 * x * x);
    const double g = 1.0 / (2.0 + 4.142 * x + 3.492 * x * x + 6.670 * x * x * x);
    return {g, f};
}

/// The square of what Fresnel's integrals grow by between two places.
double fresnel_growth(double from, double to) {
    const std::complex<double> at_from = turning(std::abs(from));
    const std::complex<double> at_to = turning(std::abs(to));
    const auto turned = [](const std::complex<double>& part, double squares) {
        return product(part, std::polar(1.0, 0.5 * pi * squares));
    };
    // On one side of 0 the turn of one against the other is all that counts.
    if (from * to > 0.0) return std::norm(turned(at_to, to * to - from * from) - at_from);
    return std::norm(std::complex(1.0, 1.0) - turned(at_to, to * to) -
                     turned(at_from, from * from));
}

/// One edge as seen from a direction: its arc as a parabola.
class EdgeLight {
public:
    EdgeLight(const Arc& arc, double off_normal_rad)
        : bend_(std::cos(off_normal_rad) / arc.radius) {
        const double flat = arc.radius * std::tan(off_normal_rad);
        from_ = -arc.half_chord - flat;
        to_ = arc.half_chord - flat;
    }

    double at(double q) const {
        constexpr double area = 0.25 * pi;
        const double bend = q * bend_;
        const double scale = std::sqrt(2.0 * bend);
        return fresnel_growth(scale * from_, scale * to_) / (2.0 * bend) / (4.0 * pi * pi * q * q) /
               area;
    }

private:
    double bend_;
    double from_, to_;
};

/// Each edge is seen from either side.
std::vector<EdgeLight> edges_from(const Iris& iris, const Arc& arc, double direction_rad) {
    std::vector<EdgeLight> edges;
    if (is_round(iris)) return edges;
    for (int blade = 0; blade < iris.blades; ++blade) {
        const double off = std::remainder(direction_rad - 2.0 * pi * blade / iris.blades, pi);
        if (std::abs(off) < 1.4) edges.emplace_back(arc, off);
    }
    return edges;
}

/// Means over so much around an angle node, as pixels and colours never part its fringes.
constexpr std::array<double, 5> around{-0.4, -0.2, 0.0, 0.2, 0.4};

double far_q(int node) {
    return blend_from * std::pow(far_ratio, node);
}

/// Linear between the nodes of a table of rows.
double between(const std::vector<float>& table, double row, double column) {
    const auto r = static_cast<std::size_t>(row);
    const auto c = static_cast<std::size_t>(column);
    const double down = row - static_cast<double>(r);
    const double right = column - static_cast<double>(c);
    const float* at = table.data() + r * angle_nodes + c;
    const auto value = [&](std::size_t i) { return static_cast<double>(at[i]); };
    return (1.0 - down) * ((1.0 - right) * value(0) + right * value(1)) +
           down * ((1.0 - right) * value(angle_nodes) + right * value(angle_nodes + 1));
}

}  // namespace

DiffractionPattern::DiffractionPattern(const Iris& iris, double most_q)
    : wedge_rad_(pi / std::max(iris.blades, 3)), near_(near_nodes * angle_nodes) {
    const bool round = is_round(iris);
    const Outline outline = round ? Outline{} : outline_of(iris);
    const double angle_step = wedge_rad_ / (angle_nodes - 1);
    tbb::parallel_for(0, angle_nodes, [&](int a) {
        const double angle = angle_step * a;
        EdgeSum sum(outline.chords, Vec2(std::cos(angle), std::sin(angle)));
        for (int node = 0; node < near_nodes; ++node)
            near_[static_cast<std::size_t>(node * angle_nodes + a)] =
                static_cast<float>(round       ? exact_round(near_step * node)
                                   : node == 0 ? 0.25 * pi
                                               : sum.next());
    });
    far_nodes_ =
        3 + static_cast<int>(std::log(std::max(1.0, most_q / blend_from)) / std::log(far_ratio));
    far_.resize(static_cast<std::size_t>(far_nodes_ * angle_nodes));
    tbb::parallel_for(0, angle_nodes, [&](int a) {
        std::vector<EdgeLight> edges;
        for (const double part : around)
            std::ranges::copy(edges_from(iris, outline.arc, angle_step * (a + part)),
                              std::back_inserter(edges));
        for (int node = 0; node < far_nodes_; ++node) {
            const double q = far_q(node);
            double sum = round ? around.size() * mean_round(q) : 0.0;
            for (const EdgeLight& edge : edges) sum += edge.at(q);
            far_[static_cast<std::size_t>(node * angle_nodes + a)] =
                static_cast<float>(sum / around.size() * q * q * q);
        }
    });
}

double DiffractionPattern::place_of(double direction_rad) const {
    const double turned =
        std::abs(std::remainder(direction_rad - first_normal_rad, 2.0 * wedge_rad_));
    return std::min(turned / wedge_rad_ * (angle_nodes - 1), angle_nodes - 1.001);
}

double DiffractionPattern::at(double q, double place) const {
    const double near_share = std::clamp((exact_to - q) / (exact_to - blend_from), 0.0, 1.0);
    double value = 0.0;
    if (near_share > 0.0)
        value += near_share * between(near_, std::min(q / near_step, near_nodes - 1.001), place);
    if (near_share < 1.0) {
        static const double rows = 1.0 / std::log(far_ratio);
        const double row = rows * std::log(q / blend_from);
        value += (1.0 - near_share) * between(far_, std::min(row, far_nodes_ - 1.001), place) /
                 (q * q * q);
    }
    return value;
}

}  // namespace lampflight
