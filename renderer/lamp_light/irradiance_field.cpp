#include "renderer/lamp_light/irradiance_field.h"

#include <algorithm>
#include <cmath>

#include "renderer/sampling/directions.h"
#include "renderer/sampling/least_squares.h"

namespace lampflight {
namespace {

constexpr float allowed_error = 5e-4f;  // of the field

// Length of the mean normal: less, and there is no main plane.
constexpr float least_aligned = 0.3f;

// Points may lie so much farther out than those that were fitted.
constexpr float beyond_edge = 1.2f;

// Directions that carry less than this share of the light need no horizon.
constexpr float least_part = 1e-5f;

// The lamp's directions differ a little over the patch: on the sine of their spread.
constexpr float spread_margin = 0.02f;

using Nodes = IrradianceField::Nodes;

/// What a lamp lays on some points, and the directions it comes from.
struct FieldSum {
    LaneVectors field{};
    float least_cosine = 1.0f;  ///< between `towards` and any direction that counts
};

FieldSum field_at(const LampTrack& track, const LightClock& clock, const Nodes& nodes,
                  const LaneVectors& position_m, const glm::vec3& towards, float least_lxs) {
    FieldSum sum;
    const float least_m2 = track.face_radius_m() * track.face_radius_m();
    for (std::size_t k = nodes.first; k < nodes.end; ++k) {
        const LampInstant& lamp = clock.node(k);
        const float weight_s = clock.node_weight_s(k);
        Lanes x, y, z, per_m, haversine, intensity, cosine;
        for (int i = 0; i < packet_size; ++i) {
            x[i] = lamp.position_m.x - position_m.x[i];
            y[i] = lamp.position_m.y - position_m.y[i];
            z[i] = lamp.position_m.z - position_m.z[i];
            per_m[i] = 1.0f / std::sqrt(std::max(x[i] * x[i] + y[i] * y[i] + z[i] * z[i], 1e-12f));
            haversine[i] = haversine_to_aim(x[i], y[i], z[i], per_m[i], lamp.aim);
        }
        track.intensity_cd(haversine, intensity);
        for (int i = 0; i < packet_size; ++i) {
            const float square_m2 = 1.0f / (per_m[i] * per_m[i]);
            const float light_lxs = weight_s * intensity[i] / std::max(square_m2, least_m2);
            const float along = light_lxs * per_m[i];
            sum.field.x[i] += along * x[i];
            sum.field.y[i] += along * y[i];
            sum.field.z[i] += along * z[i];
            const float between =
                (x[i] * towards.x + y[i] * towards.y + z[i] * towards.z) * per_m[i];
            cosine[i] = light_lxs > least_lxs ? between : 1.0f;
        }
        sum.least_cosine = std::min(sum.least_cosine, std::ranges::min(cosine.lane));
    }
    return sum;
}

/// The same at one point.
glm::vec3 field_at(const LampTrack& track, const LightClock& clock, const Nodes& nodes,
                   const glm::vec3& point_m) {
    glm::vec3 sum(0.0f);
    for (std::size_t k = nodes.first; k < nodes.end; ++k) {
        const LampInstant& lamp = clock.node(k);
        const glm::vec3 off_m = lamp.position_m - point_m;
        const float square_m2 = std::max(glm::dot(off_m, off_m), 1e-6f);
        const float per_m = 1.0f / std::sqrt(square_m2);
        const float haversine = haversine_to_aim(off_m.x, off_m.y, off_m.z, per_m, lamp.aim);
        const float light_lxs = clock.node_weight_s(k) * track.intensity_cd(haversine) / square_m2;
        sum += light_lxs * per_m * off_m;
    }
    return sum;
}

glm::vec3 mean_of(const LaneVectors& lanes) {
    glm::vec3 sum(0.0f);
    for (int i = 0; i < packet_size; ++i) sum += lanes.at(i);
    return sum / static_cast<float>(packet_size);
}

/// Sixteen of the places: spread evenly, the highest and the lowest among them. Returns the sum of
/// their normals.
glm::vec3 choose(std::span<const LightClock::Place> places, LaneVectors& position_m) {
    glm::vec3 normal(0.0f);
    const auto place_m = [](const LightClock::Place& place) {
        return place.packet->position_m.at(place.lane);
    };
    for (int i = 0; i < packet_size; ++i) {
        const LightClock::Place& here =
            places[(2 * static_cast<std::size_t>(i) + 1) * places.size() / (2 * packet_size)];
        position_m.set(i, place_m(here));
        normal += here.packet->face_normal.at(here.lane);
    }
    const auto [lowest, highest] = std::ranges::minmax_element(
        places, {},
        [&](const LightClock::Place& place) { return glm::dot(normal, place_m(place)); });
    position_m.set(packet_size / 2, place_m(*lowest));
    position_m.set(packet_size / 2 - 1, place_m(*highest));
    return normal;
}

}  // namespace

IrradianceField::IrradianceField(const LampTrack& track, const LightClock& clock,
                                 std::span<const LightClock::Place> places) {
    nodes_.front() = {0, clock.nodes()};
    if (places.size() < packet_size || !clock.alike()) return;
    LaneVectors position_m;
    const glm::vec3 normal = choose(places, position_m);
    const float aligned = glm::length(normal);
    if (aligned < least_aligned * packet_size) return;
    middle_m_ = mean_of(position_m);
    lay_frame(position_m, normal / aligned);

    const float all_lxs = glm::length(field_at(track, clock, {0, clock.nodes()}, middle_m_));
    if (all_lxs <= 0.0f) return;
    std::array<Terms, packet_size> rows;
    for (int i = 0; i < packet_size; ++i)
        rows[static_cast<std::size_t>(i)] = terms_at(position_m.at(i));
    const LeastSquares<terms, packet_size> fit(rows);
    LaneVectors error{};
    const std::size_t parts = track.moves() ? most_parts : 1;
    const auto nodes_of_part = [&](std::size_t part) {
        return Nodes{part * clock.nodes() / parts, (part + 1) * clock.nodes() / parts};
    };
    for (std::size_t p = 0; p < parts; ++p) {
        const Nodes nodes = nodes_of_part(p);
        Part& part = part_[p];
        part.towards = field_at(track, clock, nodes, middle_m_);
        const float part_lxs = glm::length(part.towards);
        part.towards /= std::max(part_lxs, 1e-30f);
        const FieldSum sum =
            field_at(track, clock, nodes, position_m, part.towards, least_part * all_lxs);
        if (sum.least_cosine <= 0.0f) return;
        if (sum.least_cosine == 1.0f) {  // no light that counts
            part = {};
            part.least_cosine = -1.0f;
            continue;
        }
        part.least_cosine =
            std::sqrt(1.0f - std::min(1.0f, sum.least_cosine * sum.least_cosine)) + spread_margin;
        part.factor = fit.factors([&](std::size_t i) { return sum.field.at(static_cast<int>(i)); });
        for (int i = 0; i < packet_size; ++i) {
            glm::vec3 off = error.at(i) - sum.field.at(i);
            for (std::size_t a = 0; a < terms; ++a)
                off += rows[static_cast<std::size_t>(i)][a] * part.factor[a];
            error.set(i, off);
        }
    }
    for (int i = 0; i < packet_size; ++i)
        if (!(glm::length(error.at(i)) <= allowed_error * all_lxs)) return;
    for (std::size_t p = 0; p < parts; ++p) nodes_[p] = nodes_of_part(p);
    parts_ = parts;
    serves_ = true;
}

void IrradianceField::lay_frame(const LaneVectors& position_m, const glm::vec3& normal) {
    const Across frame = across(normal);
    per_side_ = {frame.tangent, frame.bitangent, normal};
    for (glm::vec3& axis : per_side_) {
        float farthest_m = 1e-4f;
        for (int i = 0; i < packet_size; ++i)
            farthest_m =
                std::max(farthest_m, std::abs(glm::dot(axis, position_m.at(i) - middle_m_)));
        axis /= farthest_m;
    }
}

IrradianceField::Terms IrradianceField::terms_at(const glm::vec3& position_m) const {
    const glm::vec3 off_m = position_m - middle_m_;
    const float u = glm::dot(per_side_[0], off_m);
    const float v = glm::dot(per_side_[1], off_m);
    return {1.0f, u, v, glm::dot(per_side_[2], off_m), u * u, u * v, v * v};
}

Lanes IrradianceField::light_lxs(const LaneVectors& position_m, const LaneVectors& normal,
                                 std::array<LaneMask, most_parts>& left_out) const {
    Lanes light_lxs{};
    left_out.fill(all_lanes);
    if (!serves_) return light_lxs;
    std::array<Lanes, terms> term;
    Lanes outside;  // positive where a point lies there
    for (int i = 0; i < packet_size; ++i) {
        const float x = position_m.x[i] - middle_m_.x;
        const float y = position_m.y[i] - middle_m_.y;
        const float z = position_m.z[i] - middle_m_.z;
        const auto along = [&](const glm::vec3& axis) {
            return axis.x * x + axis.y * y + axis.z * z;
        };
        const float u = along(per_side_[0]);
        const float v = along(per_side_[1]);
        const float h = along(per_side_[2]);
        outside[i] = std::max(std::max(std::abs(u), std::abs(v)), std::abs(h)) - beyond_edge;
        term[1][i] = u, term[2][i] = v, term[3][i] = h;
        term[4][i] = u * u, term[5][i] = u * v, term[6][i] = v * v;
    }
    for (std::size_t p = 0; p < parts_; ++p) {
        const Part& part = part_[p];
        Lanes doubt;  // positive where a point turns away amid the part
        for (int i = 0; i < packet_size; ++i) {
            const float nx = normal.x[i], ny = normal.y[i], nz = normal.z[i];
            const auto across_term = [&](std::size_t a) {
                return part.factor[a].x * nx + part.factor[a].y * ny + part.factor[a].z * nz;
            };
            float light = across_term(0);
            for (std::size_t a = 1; a < terms; ++a) light += term[a][i] * across_term(a);
            const float facing = part.towards.x * nx + part.towards.y * ny + part.towards.z * nz;
            doubt[i] = std::max(outside[i], part.least_cosine - std::abs(facing));
            light_lxs[i] += facing > 0.0f && doubt[i] <= 0.0f ? light : 0.0f;
        }
        left_out[p] = 0;
        for (int i = 0; i < packet_size; ++i)
            if (doubt[i] > 0.0f) left_out[p] |= 1u << i;
    }
    return light_lxs;
}

}  // namespace lampflight
