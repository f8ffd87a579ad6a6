// Depth of field: the published circle of defocus, and the same measured on rendered film.
#include <tbb/global_control.h>

#include <cmath>

#include "scene/camera/depth_of_field.h"
#include "tests/film.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

struct Sample {
    double focal_mm, f_number, focus_m, depth_m, circle_mm;
};

/// An upright square of so many metres, facing south, about a place.
Mesh square(const Vec3& middle_m, double side_m) {
    const float h = static_cast<float>(0.5 * side_m);
    const glm::vec3 m(middle_m);
    Mesh mesh;
    mesh.positions = {m + glm::vec3(-h, 0, -h), m + glm::vec3(h, 0, -h), m + glm::vec3(h, 0, h),
                      m + glm::vec3(-h, 0, h)};
    mesh.normals.assign(4, {0.0f, -1.0f, 0.0f});
    mesh.triangles = {{0, 1, 2}, {0, 2, 3}};
    mesh.material_of = {0, 0};
    mesh.materials = {{}};
    return mesh;
}

constexpr double high_m = 500.0;  // the ground is too far off to count

/// A small bright square seen level from `depth_m`, with a pitch of 2 um, and nothing behind it.
PlacedShoot lit_square(const Sample& row, double side_mm) {
    PlacedShoot shoot = dark_shoot({240, 160});
    Camera& camera = shoot.camera;
    camera.sensor_mm = {0.48, 0.32};
    camera.position_m = {0.0, -row.depth_m, high_m};
    camera.bearing_deg = 0.0;
    camera.focal_mm = row.focal_mm;
    camera.f_number = row.f_number;
    camera.focus_m = row.focus_m;
    add_subject(shoot, "square", square({0.0, 0.0, high_m}, side_mm / row.focal_mm * row.depth_m));
    stand(shoot, bare_lamp("front", 100.0), {0.0, -row.depth_m - 2.0, high_m + 0.5});
    return shoot;
}

Image surface(const PlacedShoot& shoot) {
    return layer_of(exposed(shoot, {Quality::draft, 0}), "front.surface");
}

}  // namespace

// c = f^2 / (N (s - f)) |D - s| / D, thin lens, computed; plus behind the focus.
TEST_CASE("circle of defocus and the range that is sharp") {
    for (const Sample& row :
         {Sample{14, 5.6, 10, 5, -0.003504907}, Sample{14, 5.6, 10, 1e6, 0.003504872},
          Sample{24, 2.8, 8, 20, 0.015475}, Sample{50, 2.8, 20, 8, -0.06713212}}) {
        Camera camera;
        camera.focal_mm = row.focal_mm;
        camera.focus_m = row.focus_m;
        CHECK_RELATIVE(blur_circle_mm(camera, row.f_number, row.depth_m), row.circle_mm, 1e-6);
    }
    // Hyperfocal H = f^2 / (N c) + f = 1.1807 m; near limit s (H - f) / (H + s - 2f), textbook.
    Camera camera;
    camera.focal_mm = 14.0;
    camera.focus_m = 10.0;
    const SharpRange sharp = sharp_range(camera, 5.6, 0.03);
    CHECK_RELATIVE(sharp.near_m, 1.0460876, 1e-6);
    CHECK(std::isinf(sharp.far_m));
    camera.focus_m = 1.0;
    // s (H - f) / (H - s), by hand.
    CHECK_RELATIVE(sharp_range(camera, 5.6, 0.03).far_m, 1.1666667 / 0.1806667, 1e-5);
}

// A square of side a blurred by a disc of diameter c: mean square distance a^2 / 6 + c^2 / 8.
TEST_CASE(
    "a bright patch out of focus is drawn as wide as the thin lens says, with all its light") {
    for (const Sample& row :
         {Sample{24, 2.8, 8, 20, 0.015475}, Sample{50, 2.8, 20, 8, 0.06713212}}) {
        const double side_mm = 0.016;
        const PlacedShoot shoot = lit_square(row, side_mm);
        const Image film = surface(shoot);
        Vec2 middle(0.0);
        double sum = 0.0, square_px2 = 0.0;
        for (int y = 0; y < film.height; ++y)
            for (int x = 0; x < film.width; ++x) {
                const double light = luminance_of(film.at(x, y));
                const Vec2 off = Vec2(x + 0.5, y + 0.5) - Vec2(120.0, 80.0);
                sum += light;
                middle += light * off;
                square_px2 += light * glm::dot(off, off);
            }
        CHECK_WITHIN(middle / sum, Vec2(0.0), 0.05);
        const double square_mm2 = square_px2 / sum * 0.002 * 0.002 - side_mm * side_mm / 6.0;
        CHECK_RELATIVE(std::sqrt(8.0 * square_mm2), row.circle_mm, 0.03);

        PlacedShoot sharp = shoot;
        sharp.camera.focus_m = row.depth_m;
        CHECK_RELATIVE(sum, sum_of(surface(sharp)), 1e-3);
    }
}

TEST_CASE("what is in focus stays as it is before a sky that is not") {
    PlacedShoot shoot = lit_square({50, 2.8, 8, 8, 0.0}, 0.1);
    const Image open = surface(shoot);
    shoot.camera.f_number = 64.0;
    const Image closed = surface(shoot);
    const double light = 64.0 * 64.0 / (2.8 * 2.8);
    for (std::size_t i = 0; i < open.pixels.size(); ++i)
        CHECK_WITHIN(luminance_of(open.pixels[i]), light * luminance_of(closed.pixels[i]),
                     1e-5 * luminance_of(open.at(120, 80)));
}

TEST_CASE("takes share the sky's film while all is sharp, and only then") {
    const auto shared = [](double one_f_number, double other_f_number) {
        PlacedShoot shoot = lit_square({14, 8.0, 8, 8, 0.0}, 0.1);
        shoot.sky.horizontal_lx = 1.0;
        shoot.takes[0].f_number = one_f_number;
        shoot.takes.push_back(shoot.takes[0]);
        shoot.takes[1].name = "other";
        shoot.takes[1].f_number = other_f_number;
        shoot.photograph.takes = {"take", "other"};
        const auto takes = expose(shoot, {Quality::draft, 0});
        REQUIRE(takes.has_value());
        const auto view = [](const ExposedTake& take) {
            for (const Layer& layer : take.layers)
                if (layer.id.text() == "sky.view") return layer.films.at(0).film;
            return std::shared_ptr<const Image>();
        };
        return view(takes->at(0)) == view(takes->at(1));
    };
    CHECK(shared(22.0, 32.0));  // the sky's circle is 0.0011 mm at f/22, half a pixel of this film
    CHECK(shared(2.8, 2.8));
    CHECK_FALSE(shared(2.8, 4.0));
}

TEST_CASE("defocused film is the same with any number of threads") {
    const auto film_of = [](std::size_t threads) {
        const tbb::global_control limit(tbb::global_control::max_allowed_parallelism, threads);
        return surface(lit_square({50, 2.8, 20, 8, 0.0}, 0.05));
    };
    CHECK(film_of(1).pixels == film_of(3).pixels);
}
