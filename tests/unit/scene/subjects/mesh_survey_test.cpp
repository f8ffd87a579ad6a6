#include "scene/subjects/mesh_survey.h"

#include <doctest/doctest.h>

#include <algorithm>

#include "tests/obj_file.h"
#include "tests/obj_shape.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

const ObjShape two_metre_box = box_shape(Vec3(-1.0), Vec3(1.0));

/// Without its last faces, and with so many of the first turned round.
MeshSurvey surveyed_box(std::size_t left_out, std::size_t turned, bool own_corners) {
    ObjShape box = two_metre_box;
    box.faces.resize(box.faces.size() - left_out);
    for (std::size_t i = 0; i < turned; ++i) std::ranges::reverse(box.faces[i]);
    return obj_of(own_corners ? with_own_corners(box) : with_shared_corners(box)).survey;
}

}  // namespace

TEST_CASE("a closed mesh has no open edge and encloses its volume, however its corners are told") {
    for (const bool own : {false, true}) {
        const MeshSurvey survey = surveyed_box(0, 0, own);
        CHECK(survey.open_edges == 0);
        CHECK(survey.twisted_edges == 0);
        CHECK_WITHIN(survey.volume_m3, 8.0, 1e-9);
        CHECK_WITHIN(survey.flatness, 0.0, 1e-12);
    }
}

TEST_CASE("open edges are counted on the file's own faces") {
    for (const bool own : {false, true}) {
        const MeshSurvey survey = surveyed_box(1, 0, own);
        CHECK(survey.open_edges == 4);
        CHECK_WITHIN(survey.flatness, 1.0 / 5.0, 1e-9);
    }
}

TEST_CASE(
    "a mesh inside out has a volume below zero, and single turned faces show at their edges") {
    const MeshSurvey all = surveyed_box(0, 6, false);
    CHECK_WITHIN(all.volume_m3, -8.0, 1e-9);
    CHECK(all.twisted_edges == 0);
    CHECK(surveyed_box(0, 1, true).twisted_edges == 4);
}

TEST_CASE("a sheet is flat, also where it is bent a little") {
    CHECK_WITHIN(obj_of("v 0 0 0\nv 3 0 1\nv 3 2 1\nv 0 2 0\nf 1 2 3 4\n").survey.flatness, 1.0,
                 1e-6);
    // Two halves at a right angle: the sum of two equal perpendicular vectors.
    CHECK_WITHIN(obj_of("v 0 0 1\nv 1 0 0\nv 1 2 0\nv 0 2 1\nv -1 0 0\nv -1 2 0\n"
                        "f 1 2 3 4\nf 5 1 4 6\n")
                     .survey.flatness,
                 std::sqrt(0.5), 1e-6);
}
