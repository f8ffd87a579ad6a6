#include "scene/cautions/passage.h"

#include <algorithm>
#include <limits>

#include <fmt/format.h>

#include "scene/cautions/clearance.h"

namespace lampflight {
namespace {

struct Leg {
    Vec3 from_m, to_m;
};

bool meets(const Leg& leg, const Box& box) {
    return glm::all(glm::lessThanEqual(glm::min(leg.from_m, leg.to_m), box.high_m)) &&
           glm::all(glm::greaterThanEqual(glm::max(leg.from_m, leg.to_m), box.low_m));
}

/// Six times the volume of the tetrahedron over a triangle.
double volume(const Vec3& a, const Vec3& b, const Vec3& c, const Vec3& top) {
    return glm::dot(glm::cross(b - a, c - a), top - a);
}

/// The leg's ends lie on both sides of the triangle, and its line passes all edges on one side.
bool crosses(const Leg& leg, const Vec3& a, const Vec3& b, const Vec3& c) {
    if ((volume(a, b, c, leg.from_m) > 0.0) == (volume(a, b, c, leg.to_m) > 0.0)) return false;
    const bool ab = volume(leg.from_m, leg.to_m, a, b) > 0.0;
    return (volume(leg.from_m, leg.to_m, b, c) > 0.0) == ab &&
           (volume(leg.from_m, leg.to_m, c, a) > 0.0) == ab;
}

/// A mesh with boxes about runs of its triangles, which mostly lie together.
class BoxedMesh {
public:
    explicit BoxedMesh(const Mesh& mesh) : mesh_(mesh) {
        for (std::size_t first = 0; first < mesh.triangles.size(); first += run_length) {
            Box run = box(first);
            for (std::size_t i = first; i < end_of_run(first); ++i) {
                run.low_m = glm::min(run.low_m, box(i).low_m);
                run.high_m = glm::max(run.high_m, box(i).high_m);
            }
            runs_.push_back(run);
        }
    }

    bool is_crossed(const Leg& leg) const {
        for (std::size_t run = 0; run < runs_.size(); ++run) {
            if (!meets(leg, runs_[run])) continue;
            const std::size_t first = run * run_length;
            for (std::size_t i = first; i < end_of_run(first); ++i)
                if (meets(leg, box(i)) && crosses(leg, corner(i, 0), corner(i, 1), corner(i, 2)))
                    return true;
        }
        return false;
    }

private:
    static constexpr std::size_t run_length = 32;

    std::size_t end_of_run(std::size_t first) const {
        return std::min(first + run_length, mesh_.triangles.size());
    }
    Vec3 corner(std::size_t triangle, std::size_t which) const {
        return Vec3(mesh_.positions[mesh_.triangles[triangle][which]]);
    }
    Box box(std::size_t triangle) const {
        const Vec3 a = corner(triangle, 0), b = corner(triangle, 1), c = corner(triangle, 2);
        return {glm::min(a, glm::min(b, c)), glm::max(a, glm::max(b, c))};
    }

    const Mesh& mesh_;
    std::vector<Box> runs_;
};

}  // namespace

double NearPass::nearest_m() const {
    return std::max(0.0, planned_m - strays_m);
}

std::string NearPass::words(const std::string& what) const {
    std::string text = fmt::format("within {:.1f} m of {}", planned_m, what);
    if (strays_m > 0.0)
        text += fmt::format(", {:.1f} m if it strays by {:.1f} m", nearest_m(), strays_m);
    return text;
}

bool goes_through(const FlownFlight& flown, const Mesh& mesh, double hanging_m) {
    if (mesh.triangles.empty()) return false;
    const Vec3 hung_m(0.0, 0.0, -hanging_m);
    const std::vector<Vec3> places = places_m(flown);
    if (is_inside(places.front(), mesh)) return true;
    const BoxedMesh boxed(mesh);
    const auto through = [&](const Leg& leg) { return boxed.is_crossed(leg); };
    for (std::size_t i = 0; i < places.size(); ++i) {
        if (hanging_m > 0.0 && through({places[i], places[i] + hung_m})) return true;
        if (i > 0 && (through({places[i - 1], places[i]}) ||
                      through({places[i - 1] + hung_m, places[i] + hung_m})))
            return true;
    }
    return false;
}

double level_distance_m(const std::vector<Vec3>& places_m, const Box& box) {
    double nearest_m = std::numeric_limits<double>::infinity();
    for (const Vec3& place_m : places_m) {
        const Vec2 at_m(place_m);
        nearest_m = std::min(
            nearest_m, glm::distance(at_m, glm::clamp(at_m, Vec2(box.low_m), Vec2(box.high_m))));
    }
    return nearest_m;
}

}  // namespace lampflight
