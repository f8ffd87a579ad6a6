#include "scene/subjects/box.h"

#include "tests/within.h"

using namespace lampflight;

TEST_CASE("the box of a mesh reaches to its outermost vertices") {
    Mesh mesh;
    mesh.positions = {{1.0F, 2.0F, 0.0F}, {3.0F, -2.0F, 5.0F}, {2.0F, 1.0F, 1.0F}};
    const Box box = box_of(mesh);
    CHECK(box.low_m == Vec3(1.0, -2.0, 0.0));
    CHECK(box.high_m == Vec3(3.0, 2.0, 5.0));
    CHECK(box.middle_m() == Vec3(2.0, 0.0, 2.5));
}
