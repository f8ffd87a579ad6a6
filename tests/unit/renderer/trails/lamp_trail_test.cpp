#include "renderer/trails/lamp_trail.h"

#include "renderer/film/film_rows.h"
#include "tests/film.h"
#include "tests/within.h"

using namespace lampflight;

TEST_CASE("a trail film keeps what is laid on it") {
    for (const int side : {1, 3, 6})
        for (const double radius_px : {0.001, 0.05, 0.3, 1.7})
            for (const Vec2 centre_px : {Vec2(10.0, 8.0), Vec2(10.5, 8.5), Vec2(9.3, 7.77)}) {
                TrailFilm film(20, 16, side);
                film.add_disc(centre_px, radius_px, {2.0f, 1.0f, 0.5f});
                const Image picture = film.picture();
                glm::dvec3 sum(0.0);
                Vec2 middle(0.0);
                for (int y = 0; y < 16; ++y)
                    for (int x = 0; x < 20; ++x) {
                        sum += glm::dvec3(picture.at(x, y));
                        middle += static_cast<double>(picture.at(x, y).g) * Vec2(x + 0.5, y + 0.5);
                    }
                CHECK_WITHIN(sum, glm::dvec3(2.0, 1.0, 0.5), 1e-5);
                CHECK_WITHIN(middle.x, centre_px.x, 0.5 + 1e-6);
                CHECK_WITHIN(middle.y, centre_px.y, 0.5 + 1e-6);
            }
}

TEST_CASE("what falls outside a trail film is lost, and no more") {
    TrailFilm film(20, 16, 2);
    film.add_disc({-5.0, 8.0}, 1.0, glm::vec3(1.0f));
    film.add_disc({30.0, 8.0}, 1.0, glm::vec3(1.0f));
    film.add_disc({8.0, -40.0}, 1.0, glm::vec3(1.0f));
    CHECK(sum_of(film.picture()) == 0.0);
    film.add_disc({0.0, 8.0}, 1.5, glm::vec3(1.0f));
    CHECK_WITHIN(sum_of(film.picture()), 0.5, 1e-5);
}

TEST_CASE("trail films add up part by part") {
    TrailFilm one(12, 8, 3);
    TrailFilm other(12, 8, 3);
    one.add_disc({3.2, 3.1}, 0.8, glm::vec3(1.0f));
    other.add_disc({3.9, 3.1}, 0.8, glm::vec3(2.0f));
    const ExposedTake take{"take",
                           {},
                           {12, 8},
                           {{lamp_layer("one", LightWay::trail), {}, one},
                            {lamp_layer("other", LightWay::trail), {}, other}}};
    const FilmRows both(take);
    const Image a = one.picture(), b = other.picture();
    Image sum(12, 8);
    for (int y = 0; y < 8; ++y)
        for (const TrailPixel& pixel : both.trails(y)) {
            CHECK(pixel.y == y);
            CHECK(pixel.parts.size() == 9);
            sum.at(pixel.x, y) = pixel.mean_lxs;
        }
    CHECK(sum_of(sum) > 2.9);
    for (std::size_t i = 0; i < sum.pixels.size(); ++i)
        CHECK_WITHIN(luminance_of(sum.pixels[i]),
                     luminance_of(a.pixels[i]) + luminance_of(b.pixels[i]), 1e-6);
}
