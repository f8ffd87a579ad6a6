#include "scene/reader/load_subjects.h"

#include <algorithm>
#include <cmath>
#include <map>

#include <fmt/format.h>
#include <tbb/parallel_for_each.h>

#include "scene/basics/angle.h"
#include "scene/basics/files_there.h"
#include "scene/basics/wording.h"
#include "scene/subjects/models/models.h"

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

/// How far from the middle of the world the farthest of a mesh's vertices lies, along an axis.
double farthest_m(const Mesh& mesh) {
    float farthest = 0.0f;
    for (const glm::vec3& p : mesh.positions)
        farthest = std::max({farthest, std::abs(p.x), std::abs(p.y), std::abs(p.z)});
    return static_cast<double>(farthest);
}

void set_down(Mesh& mesh, const Subject& subject, const Terrain& terrain) {
    if (subject.reflectance) set_mean_reflectance(mesh, *subject.reflectance);
    const double ground_m = ground_height_m(terrain, Vec2(subject.position_m));
    place(mesh, subject.facing_deg, subject.scale, subject.position_m + Vec3(0.0, 0.0, ground_m));
}

}  // namespace

LoadedMeshes load_meshes(const Reading& reading, const std::filesystem::path& beside,
                         std::vector<Problem>& problems) {
    const Shoot& shoot = reading.shoot;
    LoadedMeshes meshes(shoot.subjects.size());
    std::size_t triangles = 0;
    for (std::size_t i = 0; i < shoot.subjects.size(); ++i) {
        const Subject& subject = shoot.subjects[i];
        const TableRef ref{"subject", i};
        if (!subject.mesh || subject.model || !reading.map.is_sound(ref, "mesh")) continue;
        const std::filesystem::path file = beside / *subject.mesh;
        ObjResult read = read_obj(file, radians(subject.crease_deg));
        if (const std::string* fault = std::get_if<std::string>(&read)) {
            problems.push_back(mesh_problem(reading.map, ref, subject, file, *fault));
            continue;
        }
        const bool fitted = triangles <= most_loaded_triangles;
        triangles += std::get<ObjMesh>(read).mesh.triangles.size();
        if (triangles <= most_loaded_triangles)
            meshes[i] = std::get<ObjMesh>(std::move(read));
        else if (fitted)
            problems.push_back(problem_at(
                reading.map.value(ref, "mesh"),
                fmt::format("{} is {}, with which all meshes hold {} triangles; allowed are {} "
                            "together",
                            reading.map.label(ref, "mesh"), in_quotes(*subject.mesh), triangles,
                            most_loaded_triangles)));
    }
    return meshes;
}

Checked<PlacedShoot> place_subjects(Reading reading, LoadedMeshes meshes,
                                    const std::filesystem::path& beside) {
    PlacedShoot placed{std::move(reading.shoot), {}};
    const std::map<Model, Mesh> models = models_of(placed);
    const Terrain terrain = terrain_of(placed);
    std::vector<Problem> problems;
    for (std::size_t i = 0; i < placed.subjects.size(); ++i) {
        const Subject& subject = placed.subjects[i];
        if (meshes[i]) {
            const std::filesystem::path file = beside / *subject.mesh;
            placed.mesh_files.push_back(file);
            for (const std::string& name : meshes[i]->materials)
                placed.mesh_files.push_back(file.parent_path() / name);
            placed.meshes.push_back(std::move(meshes[i]->mesh));
            placed.surveyed.push_back(
                {i, meshes[i]->survey, std::move(meshes[i]->missing_materials)});
        } else {
            placed.meshes.push_back(models.at(*subject.model));
        }
        set_down(placed.meshes.back(), subject, terrain);
        if (farthest_m(placed.meshes.back()) <= farthest_vertex_m) continue;
        problems.push_back(problem_at(
            reading.map.value({"subject", i}, "mesh"),
            fmt::format("{} reaches {:.0f} km out as it is scaled and placed; allowed is {} km",
                        reading.map.label({"subject", i}, "mesh"),
                        farthest_m(placed.meshes.back()) / 1000.0, farthest_vertex_m / 1000.0)));
    }
    if (!problems.empty()) return problems;
    return placed;
}

}  // namespace lampflight
