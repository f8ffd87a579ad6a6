#include "scene/subjects/normals.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <span>

#include "scene/basics/angle.h"

namespace lampflight {
namespace {

// Faces that turn by less are one flat face, as the rounding of a file leaves it.
constexpr double flat_rad = 0.002;

/// A face's part in the normal of one of its corners: its unit normal times its angle there.
glm::vec3 part_of(const Mesh& mesh, const std::array<std::uint32_t, 3>& t, std::size_t corner) {
    const glm::vec3 face = across_triangle(mesh, t);
    const float area = glm::length(face);
    if (!(area > 0.0f)) return glm::vec3(0.0f);
    const glm::vec3 here = mesh.positions[t[corner]];
    const glm::vec3 next = mesh.positions[t[(corner + 1) % 3]] - here;
    const glm::vec3 last = mesh.positions[t[(corner + 2) % 3]] - here;
    // atan2 of cross and dot: exact for slivers where acos is not.
    return face * (std::atan2(area, glm::dot(next, last)) / area);
}

/// Corners of triangles by their vertex: corner k of triangle t is number 3 t + k.
struct CornersOfVertices {
    std::vector<std::uint32_t> first;  ///< by vertex, and the end
    std::vector<std::uint32_t> corner;

    explicit CornersOfVertices(const Mesh& mesh)
        : first(mesh.positions.size() + 1, 0), corner(3 * mesh.triangles.size()) {
        for (const auto& t : mesh.triangles)
            for (const std::uint32_t vertex : t) ++first[vertex + 1];
        std::partial_sum(first.begin(), first.end(), first.begin());
        std::vector<std::uint32_t> next(first.begin(), first.end() - 1);
        for (std::uint32_t c = 0; c < corner.size(); ++c)
            corner[next[mesh.triangles[c / 3][c % 3]]++] = c;
    }
};

/// Splits the vertices of a mesh one after the other.
class Splitting {
public:
    Splitting(Mesh& mesh, const Smoothing& smoothing, const StatedNormals& stated)
        : mesh_(mesh),
          smoothing_(smoothing),
          stated_(stated),
          least_cosine_(
              static_cast<float>(std::cos(std::min(smoothing.crease_rad + flat_rad, pi)))),
          flat_cosine_(static_cast<float>(std::cos(flat_rad))) {
        faces_.reserve(mesh.triangles.size());
        for (const auto& t : mesh.triangles) faces_.push_back(unit_or_up(across_triangle(mesh, t)));
    }

    void run() {
        const CornersOfVertices corners(mesh_);
        split_ = mesh_.triangles;
        for (std::size_t vertex = 0; vertex < mesh_.positions.size(); ++vertex) {
            fan_ = std::span(corners.corner)
                       .subspan(corners.first[vertex],
                                corners.first[vertex + 1] - corners.first[vertex]);
            if (fan_.empty()) continue;
            join_over_edges();
            make_vertices(mesh_.positions[vertex]);
        }
        mesh_.positions = std::move(positions_);
        mesh_.normals = std::move(normals_);
        mesh_.triangles = std::move(split_);
    }

private:
    /// An edge from the vertex, as a corner of the fan has it.
    struct Spoke {
        std::uint32_t end;  ///< the vertex at its other end
        bool onwards;       ///< the face runs along it, away from the vertex
        std::uint32_t place;
        auto operator<=>(const Spoke&) const = default;
    };

    /// Corners of the fan that smooth edges join get one root.
    void join_over_edges() {
        root_.resize(fan_.size());
        std::iota(root_.begin(), root_.end(), 0u);
        spokes_.clear();
        for (std::uint32_t place = 0; place < fan_.size(); ++place) {
            const auto& t = mesh_.triangles[fan_[place] / 3];
            spokes_.push_back({t[(fan_[place] + 1) % 3], true, place});
            spokes_.push_back({t[(fan_[place] + 2) % 3], false, place});
        }
        std::ranges::sort(spokes_);
        // Few faces share an edge on a sound mesh, and on no other must a crowd of them cost its
        // square.
        constexpr std::size_t reach = 4;
        for (std::size_t i = 0; i < spokes_.size(); ++i)
            for (std::size_t j = i + 1; j < std::min(i + 1 + reach, spokes_.size()); ++j) {
                if (spokes_[j].end != spokes_[i].end) break;
                if (spokes_[j].onwards != spokes_[i].onwards &&
                    is_smooth(fan_[spokes_[i].place] / 3, fan_[spokes_[j].place] / 3))
                    root_[root_of(spokes_[i].place)] = root_of(spokes_[j].place);
            }
    }

    bool is_smooth(std::size_t a, std::size_t b) const {
        const auto& groups = smoothing_.groups;
        if (!groups.empty() && groups[a] != groups[b]) return false;
        if (!groups.empty() && groups[a] != 0) return true;
        return glm::dot(faces_[a], faces_[b]) >= (groups.empty() ? least_cosine_ : flat_cosine_);
    }

    std::uint32_t root_of(std::uint32_t place) {
        while (root_[place] != place) place = root_[place] = root_[root_[place]];
        return place;
    }

    std::int32_t stated_at(std::uint32_t corner) const {
        return stated_.of_corner.empty() ? StatedNormals::none
                                         : stated_.of_corner[corner / 3][corner % 3];
    }

    /// One vertex for each normal that the fan's corners come to.
    void make_vertices(const glm::vec3& position) {
        sum_.assign(fan_.size(), glm::vec3(0.0f));
        for (std::uint32_t place = 0; place < fan_.size(); ++place)
            sum_[root_of(place)] +=
                part_of(mesh_, mesh_.triangles[fan_[place] / 3], fan_[place] % 3);
        // Stated normals first, by number; then the roots of corners without.
        wanted_.clear();
        for (std::uint32_t place = 0; place < fan_.size(); ++place) {
            const std::int32_t stated = stated_at(fan_[place]);
            const bool is_stated = stated != StatedNormals::none;
            wanted_.push_back({!is_stated,
                               is_stated ? static_cast<std::uint32_t>(stated) : root_of(place),
                               fan_[place]});
        }
        std::ranges::sort(wanted_);
        for (std::size_t i = 0; i < wanted_.size(); ++i) {
            const auto& [computed, number, corner] = wanted_[i];
            if (i == 0 || wanted_[i - 1].computed != computed || wanted_[i - 1].number != number) {
                positions_.push_back(position);
                normals_.push_back(computed ? unit_or_up(sum_[number]) : stated_.unit[number]);
            }
            split_[corner / 3][corner % 3] = static_cast<std::uint32_t>(positions_.size() - 1);
        }
    }

    /// The normal that a corner is to have.
    struct Wanted {
        bool computed;
        std::uint32_t number;  ///< of the stated normal, or of the root
        std::uint32_t corner;
        auto operator<=>(const Wanted&) const = default;
    };

    Mesh& mesh_;
    const Smoothing& smoothing_;
    const StatedNormals& stated_;
    float least_cosine_;
    float flat_cosine_;
    std::vector<glm::vec3> faces_;  ///< unit normals
    std::vector<glm::vec3> positions_, normals_;
    std::vector<std::array<std::uint32_t, 3>> split_;

    // About one vertex.
    std::span<const std::uint32_t> fan_;
    std::vector<Spoke> spokes_;
    std::vector<std::uint32_t> root_;  ///< by place in the fan
    std::vector<glm::vec3> sum_;       ///< by root
    std::vector<Wanted> wanted_;
};

}  // namespace

glm::vec3 unit_or_up(const glm::vec3& v) {
    const float length = glm::length(v);
    return length > 0.0f && std::isfinite(length) ? v / length : glm::vec3(0.0f, 0.0f, 1.0f);
}

void smooth_normals(Mesh& mesh) {
    mesh.normals.assign(mesh.positions.size(), glm::vec3(0.0f));
    for (const auto& t : mesh.triangles)
        for (std::size_t k = 0; k < 3; ++k) mesh.normals[t[k]] += part_of(mesh, t, k);
    for (glm::vec3& normal : mesh.normals) normal = unit_or_up(normal);
}

void crease_normals(Mesh& mesh, const Smoothing& smoothing, const StatedNormals& stated) {
    Splitting(mesh, smoothing, stated).run();
}

}  // namespace lampflight
