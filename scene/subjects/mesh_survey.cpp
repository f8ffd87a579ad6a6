#include "scene/subjects/mesh_survey.h"

#include <algorithm>
#include <numeric>
#include <tuple>

#include <tbb/parallel_sort.h>

namespace lampflight {
namespace {

/// For every vertex the number of its place.
std::vector<std::uint32_t> places_of(const Mesh& mesh) {
    const auto key = [&](std::uint32_t vertex) {
        const glm::vec3& p = mesh.positions[vertex];
        return std::tuple(p.x, p.y, p.z);
    };
    std::vector<std::uint32_t> in_order(mesh.positions.size());
    std::iota(in_order.begin(), in_order.end(), 0u);
    tbb::parallel_sort(in_order.begin(), in_order.end(),
                       [&](std::uint32_t a, std::uint32_t b) { return key(a) < key(b); });
    std::vector<std::uint32_t> places(in_order.size());
    std::uint32_t place = 0;
    for (std::size_t i = 0; i < in_order.size(); ++i) {
        if (i > 0 && key(in_order[i]) != key(in_order[i - 1])) ++place;
        places[in_order[i]] = place;
    }
    return places;
}

/// An edge as one face runs along it.
struct Side {
    std::uint32_t low, high;
    bool upwards;
    auto operator<=>(const Side&) const = default;

    bool same_edge(const Side& other) const { return low == other.low && high == other.high; }
};

std::vector<Side> sides_of(const Mesh& mesh) {
    const std::vector<std::uint32_t> places = places_of(mesh);
    std::vector<Side> sides;
    sides.reserve(3 * mesh.triangles.size());
    for (const auto& t : mesh.triangles)
        for (std::size_t k = 0; k < 3; ++k) {
            const std::uint32_t a = places[t[k]], b = places[t[(k + 1) % 3]];
            sides.push_back({std::min(a, b), std::max(a, b), a < b});
        }
    tbb::parallel_sort(sides.begin(), sides.end());
    return sides;
}

}  // namespace

MeshSurvey survey_of(const Mesh& mesh) {
    MeshSurvey survey;
    const std::vector<Side> sides = sides_of(mesh);
    for (std::size_t first = 0, end = 0; first < sides.size(); first = end) {
        while (end < sides.size() && sides[end].same_edge(sides[first])) ++end;
        if (end - first == 1) ++survey.open_edges;
        if (end - first == 2 && sides[first].upwards == sides[first + 1].upwards)
            ++survey.twisted_edges;
    }
    // The divergence theorem, from a place on the mesh so that little is lost in rounding.
    const Vec3 from_m = mesh.positions.empty() ? Vec3(0.0) : Vec3(mesh.positions.front());
    Vec3 sum(0.0);
    double area = 0.0;
    for (const auto& t : mesh.triangles) {
        const Vec3 a = Vec3(mesh.positions[t[0]]) - from_m;
        const Vec3 vector = 0.5 * glm::cross(Vec3(mesh.positions[t[1]]) - from_m - a,
                                             Vec3(mesh.positions[t[2]]) - from_m - a);
        sum += vector;
        area += glm::length(vector);
        survey.volume_m3 += glm::dot(a, vector) / 3.0;
    }
    survey.flatness = area > 0.0 ? glm::length(sum) / area : 0.0;
    return survey;
}

}  // namespace lampflight
