#include "scene/reader/load_subjects.h"

#include <algorithm>
#include <iterator>
#include <map>

#include <fmt/format.h>
#include <tbb/parallel_for_each.h>

#include "scene/basics/angle.h"
#include "scene/basics/files_there.h"
#include "scene/basics/wording.h"
#include "scene/subjects/models/models.h"
#include "scene/subjects/read_obj.h"

namespace lampflight {
namespace {

/// The models that the shoot asks for, each made once and all at the same time.
std::map<Model, Mesh> models_of(const Shoot& shoot) {
    std::map<Model, Mesh> models;
    for (const Subject& subject : shoot.subjects)
        if (subject.model) models.try_emplace(*subject.model);
    tbb::parallel_for_each(models, [](auto& entry) { entry.second = model_mesh(entry.first); });
    return models;
}

Problem mesh_problem(const SceneMap& map, TableRef ref, const Subject& subject,
                     const std::filesystem::path& file, const std::string& fault) {
    if (const std::string instead = instead_of_file(file, ".obj"); !instead.empty())
        return problem_at(map.value(ref, "mesh"),
                          fmt::format("\"mesh\" in {} is {}, which is {}", map.label(ref),
                                      in_quotes(*subject.mesh), instead));
    return problem_at(map.value(ref, "mesh"),
                      fmt::format("\"mesh\" in {} is {}: {}; allowed is a sound OBJ file",
                                  map.label(ref), in_quotes(*subject.mesh), fault));
}

void set_down(Mesh& mesh, const Subject& subject, const Terrain& terrain) {
    if (subject.reflectance) set_mean_reflectance(mesh, *subject.reflectance);
    const double ground_m = ground_height_m(terrain, Vec2(subject.position_m));
    place(mesh, subject.facing_deg, subject.scale, subject.position_m + Vec3(0.0, 0.0, ground_m));
}

}  // namespace

Checked<PlacedShoot> load_subjects(Reading reading, const std::filesystem::path& beside) {
    PlacedShoot placed{std::move(reading.shoot), {}};
    const std::map<Model, Mesh> models = models_of(placed);
    const Terrain terrain = terrain_of(placed);
    std::vector<Problem> problems;
    for (std::size_t i = 0; i < placed.subjects.size(); ++i) {
        const Subject& subject = placed.subjects[i];
        const std::filesystem::path file = beside / subject.mesh.value_or("");
        if (subject.model) {
            placed.meshes.push_back(models.at(*subject.model));
        } else {
            ObjResult read = read_obj(file, radians(subject.crease_deg));
            if (const std::string* fault = std::get_if<std::string>(&read)) {
                problems.push_back(
                    mesh_problem(reading.map, {"subject", i}, subject, file, *fault));
                continue;
            }
            auto& [mesh, survey, materials] = std::get<ObjMesh>(read);
            placed.meshes.push_back(std::move(mesh));
            placed.surveyed.push_back({i, survey});
            placed.mesh_files.push_back(file);
            std::ranges::move(materials, std::back_inserter(placed.mesh_files));
        }
        set_down(placed.meshes.back(), subject, terrain);
    }
    if (!problems.empty()) return problems;
    return placed;
}

}  // namespace lampflight
