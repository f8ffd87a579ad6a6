#include "scene/load_subjects.h"

#include <map>

#include <fmt/format.h>

#include "scene/ground.h"
#include "scene/models.h"
#include "scene/wording.h"

namespace lampflight {
namespace {

double area_of(const Mesh& mesh, const std::array<std::uint32_t, 3>& triangle) {
    const Vec3 a = mesh.positions[triangle[0]];
    const Vec3 b = mesh.positions[triangle[1]];
    const Vec3 c = mesh.positions[triangle[2]];
    return 0.5 * glm::length(glm::cross(b - a, c - a));
}

double mean_reflectance(const Mesh& mesh) {
    double area = 0.0, weighted = 0.0;
    for (std::size_t i = 0; i < mesh.triangles.size(); ++i) {
        const double part = area_of(mesh, mesh.triangles[i]);
        area += part;
        weighted += part * luminance(mesh.materials[mesh.material_of[i]].reflectance);
    }
    return area > 0.0 ? weighted / area : 0.0;
}

}  // namespace

void set_mean_reflectance(Mesh& mesh, double reflectance) {
    const double mean = mean_reflectance(mesh);
    for (Material& material : mesh.materials)
        material.reflectance = mean > 0.0
                                   ? glm::min(material.reflectance * (reflectance / mean), Rgb(1.0))
                                   : Rgb(reflectance);
}

std::vector<Problem> load_subjects(Shoot& shoot, const SceneMap& map,
                                   const std::filesystem::path& beside) {
    std::vector<Problem> problems;
    std::map<Model, Mesh> models;
    for (std::size_t i = 0; i < shoot.subjects.size(); ++i) {
        Subject& subject = shoot.subjects[i];
        if (subject.model) {
            if (!models.contains(*subject.model))
                models[*subject.model] = model_mesh(*subject.model);
            subject.placed = models[*subject.model];
        } else {
            const std::filesystem::path path = std::filesystem::absolute(beside / *subject.mesh);
            problems.push_back(problem_at(map.value({"subject", i}, "mesh"),
                                          in_quotes(*subject.mesh) + " can't be read"));
            continue;
        }
        if (subject.reflectance) set_mean_reflectance(subject.placed, *subject.reflectance);
        const double ground_m = ground_height_m(shoot.ground, Vec2(subject.position_m));
        place(subject.placed, subject.facing_deg, subject.scale,
              subject.position_m + Vec3(0.0, 0.0, ground_m));
    }
    return problems;
}

}  // namespace lampflight
