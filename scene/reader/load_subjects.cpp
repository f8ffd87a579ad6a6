#include "scene/reader/load_subjects.h"

#include <map>
#include <optional>
#include <system_error>

#include <fmt/format.h>
#include <tbb/parallel_for_each.h>

#include "scene/basics/wording.h"
#include "scene/ground/ground.h"
#include "scene/subjects/models/models.h"
#include "scene/subjects/read_obj.h"

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

std::optional<Problem> load_mesh(Subject& subject, TableRef ref, const SceneMap& map,
                                 const std::filesystem::path& beside) {
    const std::string written = *subject.mesh;
    std::error_code error;
    std::filesystem::path path = std::filesystem::absolute(beside / written, error);
    if (error) path = beside / written;
    ObjResult result = read_obj(path);
    if (const std::string* fault = std::get_if<std::string>(&result))
        return problem_at(map.value(ref, "mesh"),
                          fmt::format("\"mesh\" in {} is {}: {}; allowed is a sound OBJ file",
                                      map.label(ref), in_quotes(written), *fault));
    subject.mesh = path.string();
    subject.placed = std::move(std::get<Mesh>(result));
    return std::nullopt;
}

/// The models that the shoot asks for, each made once and all at the same time.
std::map<Model, Mesh> models_of(const Shoot& shoot) {
    std::map<Model, Mesh> models;
    for (const Subject& subject : shoot.subjects)
        if (subject.model) models.try_emplace(*subject.model);
    tbb::parallel_for_each(models, [](auto& entry) { entry.second = model_mesh(entry.first); });
    return models;
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
    const std::map<Model, Mesh> models = models_of(shoot);
    for (const Subject& subject : shoot.subjects)
        if (subject.model == Model::person)
            shoot.ground.trodden_m.push_back(Vec2(subject.position_m));
    for (std::size_t i = 0; i < shoot.subjects.size(); ++i) {
        Subject& subject = shoot.subjects[i];
        if (subject.model) {
            subject.placed = models.at(*subject.model);
        } else if (auto problem = load_mesh(subject, {"subject", i}, map, beside)) {
            problems.push_back(*problem);
            continue;
        }
        if (subject.reflectance) set_mean_reflectance(subject.placed, *subject.reflectance);
        const double ground_m =
            ground_height_m(shoot.ground, Vec2(subject.position_m), ground_middle_m(shoot));
        place(subject.placed, subject.facing_deg, subject.scale,
              subject.position_m + Vec3(0.0, 0.0, ground_m));
    }
    return problems;
}

}  // namespace lampflight
