#include "scene/cautions/caution_kinds.h"

#include <algorithm>

#include <fmt/format.h>

#include "scene/basics/wording.h"
#include "scene/subjects/box.h"

namespace lampflight {
namespace {

// What is lit by flown lamps is no larger and no smaller. Common practice, no source.
constexpr double largest_m = 100.0;
constexpr double smallest_m = 0.05;

// A mesh that is nearer to a flat sheet than this has no inside to show, and one that is less than
// this thick for its width is a plate of ground, however wide.
constexpr double sheet_flatness = 0.8;
constexpr double plate_share = 0.1;

/// "scale = 0.001 makes it 1.7 m", and the like for a file in other units.
std::string rescaled(double scale, double size_m, double factor) {
    return fmt::format("scale = {:.3g} makes it {:.3g} m", scale * factor, size_m * factor);
}

void add_size(Findings& list, const Subject& subject, const Mesh& mesh) {
    if (mesh.positions.empty()) return;
    const Box box = box_of(mesh);
    const Vec3 size_m = box.high_m - box.low_m;
    const double longest_m = std::max({size_m.x, size_m.y, size_m.z});
    const double level_m = std::max(size_m.x, size_m.y);
    if (longest_m > largest_m && size_m.z > plate_share * level_m)
        list.push_back(
            {"subject",
             CautionLevel::care,
             fmt::format("\"{}\" is {:.0f} m long, wide or tall as it stands. If its "
                         "file is in centimetres, {}; if in millimetres, {}.",
                         subject.name, longest_m, rescaled(subject.scale, longest_m, 0.01),
                         rescaled(subject.scale, longest_m, 0.001)),
             {"too large", "subject", subject.name, "", longest_m}});
    else if (longest_m < smallest_m)
        list.push_back({"subject",
                        CautionLevel::care,
                        fmt::format("\"{}\" is only {:.1f} mm long, wide or tall as it stands: {}, "
                                    "{}.",
                                    subject.name, 1000.0 * longest_m,
                                    rescaled(subject.scale, longest_m, 100.0),
                                    rescaled(subject.scale, longest_m, 1000.0)),
                        {"too small", "subject", subject.name, "", -longest_m}});
}

void add_open(Findings& list, const Subject& subject, const MeshSurvey& survey) {
    if (survey.open_edges == 0 || survey.flatness > sheet_flatness) return;
    list.push_back(
        {"subject",
         CautionLevel::note,
         fmt::format("The mesh of \"{}\" is open: {} of its edges {} a face on one side "
                     "only. Light gets in there and its inside shows: close it, unless "
                     "it is meant to be a sheet.",
                     subject.name, survey.open_edges, survey.open_edges == 1 ? "has" : "have"),
         {"open mesh", "subject", subject.name, "", static_cast<double>(survey.open_edges)}});
}

void add_inside_out(Findings& list, const Subject& subject, const MeshSurvey& survey) {
    if (survey.twisted_edges > 0)
        list.push_back({"subject",
                        CautionLevel::care,
                        fmt::format("The mesh of \"{}\" has faces that look the other way than "
                                    "their neighbours, at {} edges: shading breaks there, and they "
                                    "send too little light on to what is around. Let all look "
                                    "outwards.",
                                    subject.name, survey.twisted_edges),
                        {"twisted mesh", "subject", subject.name, "",
                         static_cast<double>(survey.twisted_edges)}});
    else if (survey.open_edges == 0 && survey.volume_m3 < 0.0)
        list.push_back({"subject",
                        CautionLevel::care,
                        fmt::format("The mesh of \"{}\" is inside out: it sends too little light "
                                    "on to what is around. Turn its faces to look outwards.",
                                    subject.name),
                        {"inside out", "subject", subject.name}});
}

void add_plain(Findings& list, const Subject& subject, const std::vector<std::string>& missing) {
    if (missing.empty()) return;
    list.push_back({"subject",
                    CautionLevel::note,
                    fmt::format("The mesh of \"{}\" names materials in {}, which can't be read "
                                "beside it: faces without theirs reflect 35 % of all light, in "
                                "grey.",
                                subject.name, in_quotes(missing.front())),
                    {"missing materials", "subject", subject.name}});
}

}  // namespace

Findings mesh_cautions(const PlacedShoot& shoot) {
    Findings list;
    for (const SurveyedSubject& surveyed : shoot.surveyed) {
        const Subject& subject = shoot.subjects[surveyed.subject];
        add_size(list, subject, shoot.meshes[surveyed.subject]);
        add_inside_out(list, subject, surveyed.survey);
        add_plain(list, subject, surveyed.missing_materials);
        add_open(list, subject, surveyed.survey);
    }
    return list;
}

}  // namespace lampflight
