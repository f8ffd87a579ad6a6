#include "scene/camera/trail_width.h"

#include <cmath>

#include "tests/within.h"

using namespace lampflight;

// Blur circle c = f^2 / (N (s - f)) |D - s| / D; thin lens, published rows. Joined in quadrature
// with the image of the face.
TEST_CASE("width of a trail by face and defocus") {
    struct Row {
        double focal_mm, f_number, focus_m, depth_m, defocus_mm;
    };
    for (const Row& row : {Row{14, 5.6, 10, 5, 0.003504907}, Row{14, 5.6, 10, 1e6, 0.003504872},
                           Row{24, 2.8, 8, 20, 0.015475}, Row{50, 2.8, 20, 8, 0.06713212}}) {
        Camera camera;
        camera.focal_mm = row.focal_mm;
        camera.focus_m = row.focus_m;
        CHECK_RELATIVE(trail_width_mm(camera, row.f_number, 0.0, row.depth_m), row.defocus_mm,
                       1e-5);
        const double face_mm = row.focal_mm * 0.04 / row.depth_m;
        CHECK_RELATIVE(trail_width_mm(camera, row.f_number, 0.04, row.depth_m),
                       std::hypot(row.defocus_mm, face_mm), 1e-5);
    }
}

// Where (2 J1(x) / x)^2 is a half, x = pi q for q in units of lambda N; Bessel's function by the
// standard library. Its first zero, the edge of the Airy disk, is at 3.8317060 (published: a
// diameter of 10.7331 um for 550 nm at f/8), which fixes the scale of x.
TEST_CASE("width of a point at half maximum by diffraction") {
    const double pi_over_lambda_n = 2.0 * 3.8317060 / 0.0107331;  // per mm, at f/8
    const double x = 0.5 * diffraction_width_mm(8.0) * pi_over_lambda_n;
    const double bright = 2.0 * std::cyl_bessel_j(1.0, x) / x;
    CHECK_RELATIVE(bright * bright, 0.5, 1e-4);
    CHECK_RELATIVE(diffraction_width_mm(16.0), 2.0 * diffraction_width_mm(8.0), 1e-12);
}

TEST_CASE("a line's width counts face, defocus and diffraction, and a pixel at least") {
    Camera camera;  // pixels of 6 um
    camera.focus_m = 16.0;
    // 20 mm x 0.12 m / 16 m = 0.15 mm = 25 px in focus; diffraction adds 0.01 px.
    CHECK_WITHIN(line_width_px(camera, 8.0, 0.12, 16.0), 25.0, 0.02);
    CHECK(line_width_px(camera, 8.0, 0.12, 16.0) > 25.0);
    CHECK(line_width_px(camera, 4.0, 0.001, 16.0) == 1.0);
    CHECK_RELATIVE(line_width_px(camera, 64.0, 0.0, 16.0), diffraction_width_mm(64.0) / 0.006,
                   1e-9);
}
