#include "renderer/film/disc_drawing.h"

#include <doctest/doctest.h>
#include <tbb/global_control.h>

#include <algorithm>
#include <atomic>
#include <cmath>
#include <functional>
#include <thread>
#include <vector>

#include "scene/basics/angle.h"
#include "tests/film.h"
#include "tests/within.h"

using namespace lampflight;

namespace {

constexpr int film_width = 96, film_height = 64, block = 8;

struct Circle {
    Vec2 centre_px;
    double radius_px;
};

/// Area of a circle within a block of the film, as the integral of its chords. Of 64 of them an
/// edge errs by 0.001 of the block.
double area_in_block(const Circle& circle, int block_x, int block_y) {
    constexpr int chords = 64;
    const double top = block_y * block - circle.centre_px.y;
    double area = 0.0;
    for (int i = 0; i < chords; ++i) {
        const double dx = (block_x + (i + 0.5) / chords) * block - circle.centre_px.x;
        const double squared = circle.radius_px * circle.radius_px - dx * dx;
        if (squared <= 0.0) continue;
        const double half = std::sqrt(squared);
        area += std::max(0.0, std::min(top + block, half) - std::max(top, -half));
    }
    return area * block / chords;
}

double light_of_block(const Image& film, int block_x, int block_y) {
    double sum = 0.0;
    for (int y = 0; y < block; ++y)
        for (int x = 0; x < block; ++x)
            sum += static_cast<double>(film.at(block_x * block + x, block_y * block + y).g);
    return sum;
}

/// Blocks of a film against a sum over the true areas of circles that each bring 1 / `count`. What
/// a block may err by is a share of what the brightest has, as the eye judges by that.
void check_blocks(const Image& film, const std::function<Circle(double)>& circle_at, int count,
                  double share) {
    std::vector<double> expected;
    for (int y = 0; y < film_height / block; ++y)
        for (int x = 0; x < film_width / block; ++x) {
            double sum = 0.0;
            for (int i = 0; i < count; ++i) {
                const Circle circle = circle_at((i + 0.5) / count);
                sum += area_in_block(circle, x, y) / (pi * circle.radius_px * circle.radius_px);
            }
            expected.push_back(sum / count);
        }
    const double brightest = *std::ranges::max_element(expected);
    std::size_t i = 0;
    for (int y = 0; y < film_height / block; ++y)
        for (int x = 0; x < film_width / block; ++x) {
            const double light = expected[i++];
            CHECK_WITHIN(light_of_block(film, x, y), light, share * brightest);
        }
}

/// As a trail lays them: as far apart as they may lie, but at most a 1000th of the way.
void lay_trail(TrailFilm& film, const std::function<Circle(double)>& circle_at) {
    DiscQueue queue(film, {});
    for (double along = 0.0; along < 1.0;) {
        const Circle from = circle_at(along);
        const Circle on = circle_at(along + 1e-4);
        const double moves = std::max(glm::distance(from.centre_px, on.centre_px),
                                      std::abs(from.radius_px - on.radius_px));
        const double step =
            std::min({1e-3, 1.0 - along,
                      1e-4 * finest_shift_px(from.radius_px, film.side()) / std::max(moves, 1e-9)});
        const Circle middle = circle_at(along + 0.5 * step);
        CHECK(queue.add({middle.centre_px, middle.radius_px, glm::vec3(static_cast<float>(step))}));
        along += std::max(step, 1e-12);
    }
    CHECK(queue.finish());
}

}  // namespace

TEST_CASE("a wide disc lays its light evenly on its exact area") {
    for (const int side : {1, 2, 5})
        for (const Circle& circle :
             {Circle{{48.0, 32.0}, 33.0}, Circle{{40.3, 27.8}, 45.5}, Circle{{-100.0, 20.0}, 140.0},
              Circle{{50.0, 2000.0}, 1970.0}, Circle{{48.0, 32.0}, 5000.0}}) {
            TrailFilm film(film_width, film_height, side);
            film.add_disc(circle.centre_px, circle.radius_px, glm::vec3(1.0f));
            check_blocks(
                film.picture(), [&](double) { return circle; }, 1, 3e-3);
        }
}

TEST_CASE("a wide disc within the frame keeps its light and its middle") {
    for (const double radius_px : {31.0, 31.9, 32.1, 40.0, 60.0})
        for (const Vec2 centre_px : {Vec2(80.0, 70.0), Vec2(80.5, 70.5), Vec2(79.31, 70.77)}) {
            TrailFilm film(160, 140, 1);
            film.add_disc(centre_px, radius_px, {2.0f, 1.0f, 0.5f});
            const Image picture = film.picture();
            glm::dvec3 sum(0.0);
            Vec2 middle(0.0);
            for (int y = 0; y < 140; ++y)
                for (int x = 0; x < 160; ++x) {
                    sum += glm::dvec3(picture.at(x, y));
                    middle += static_cast<double>(picture.at(x, y).g) * Vec2(x + 0.5, y + 0.5);
                }
            CHECK_WITHIN(sum, glm::dvec3(2.0, 1.0, 0.5), 1e-3);
            CHECK_WITHIN(middle / sum.g, centre_px, 0.01);
        }
}

TEST_CASE("a disc of any width is alike on both sides, with an edge of a part") {
    for (const double radius_px : {20.0, 31.9, 32.1, 45.0}) {
        TrailFilm film(128, 128, 1);
        film.add_disc({64.0, 64.0}, radius_px, glm::vec3(1.0f));
        const Image picture = film.picture();
        const double level = static_cast<double>(picture.at(64, 64).g);
        for (int y = 0; y < 128; ++y)
            for (int x = 0; x < 128; ++x) {
                const auto here = static_cast<double>(picture.at(x, y).g);
                CHECK_WITHIN(here, static_cast<double>(picture.at(127 - x, y).g), 1e-6 * level);
                CHECK_WITHIN(here, static_cast<double>(picture.at(y, x).g), 1e-6 * level);
                const double off = glm::distance(Vec2(x + 0.5, y + 0.5), Vec2(64.0));
                const double share = std::clamp(radius_px + 0.5 - off, 0.0, 1.0);
                CHECK_WITHIN(here, share * level, 1e-6 * level);
            }
        CHECK(film.parts(64 + static_cast<int>(radius_px) + 2, 64).empty());
    }
}

TEST_CASE("a trail of wide discs is even, whatever way it goes and however its width changes") {
    const std::vector<std::function<Circle(double)>> ways{
        // Along, across, aslant; growing through what is narrow to what is wider than the frame;
        // on the axis, where it only grows; from outside the frame.
        [](double t) {
            return Circle{{20.0 + 50.0 * t, 30.0}, 40.0};
        },
        [](double t) {
            return Circle{{50.0, -40.0 + 120.0 * t}, 33.0};
        },
        [](double t) {
            return Circle{{10.0 + 70.0 * t, 5.0 + 50.0 * t}, 8.0 + 200.0 * t * t};
        },
        [](double t) {
            return Circle{{48.0, 32.0}, 2.0 * std::pow(1000.0, t)};
        },
        [](double t) {
            return Circle{{-2500.0 + 5000.0 * t, 32.0}, 2000.0};
        },
    };
    for (const int side : {1, 3})
        for (const auto& way : ways) {
            TrailFilm film(film_width, film_height, side);
            lay_trail(film, way);
            check_blocks(film.picture(), way, 1000, 4e-3);
        }
}

TEST_CASE("discs too far out or too wide for whole numbers leave the film dark or evenly faint") {
    TrailFilm film(20, 16, 2);
    for (const double far : {1e12, -1e12, 1e300}) {
        film.add_disc({far, 8.0}, 1.0, glm::vec3(1.0f));
        film.add_disc({8.0, far}, 50.0, glm::vec3(1.0f));
    }
    CHECK(film.pixels().empty());
    film.add_disc({1e6, 8.0}, 2e6, glm::vec3(1e12f));
    CHECK_RELATIVE(sum_of(film.picture()), 1e12 * 20.0 * 16.0 / (pi * 4e12), 1e-5);
}

TEST_CASE("discs lay the same bytes for any number of threads") {
    std::vector<FilmDisc> discs;
    for (int i = 0; i < 3000; ++i) {
        const double t = i / 3000.0;
        discs.push_back({{96.0 * t, 32.0 + 30.0 * std::sin(20.0 * t)},
                         0.5 + 80.0 * t * t,
                         glm::vec3(0.3f, 1.0f, 0.7f) * static_cast<float>(1.0 + t)});
    }
    std::vector<Image> pictures;
    for (const std::size_t threads : {1u, 2u, 7u}) {
        const tbb::global_control limit(tbb::global_control::max_allowed_parallelism, threads);
        TrailFilm film(film_width, film_height, 2);
        CHECK(add_discs(discs, film));
        pictures.push_back(film.picture());
    }
    for (const Image& picture : pictures)
        CHECK(std::ranges::equal(picture.pixels, pictures.front().pixels));
}

TEST_CASE("laying discs hears that it is to stop, from another thread, however many there are") {
    for (const double radius_px : {2.0, 300.0}) {
        TrailFilm film(film_width, film_height, 1);
        std::stop_source stop;
        std::atomic<bool> begun = false;
        std::jthread other([&] {
            while (!begun) std::this_thread::yield();
            stop.request_stop();
        });
        DiscQueue queue(film, stop.get_token());
        // Without end, but for the stop.
        for (double x = 0.0; queue.add({{x, 8.0}, radius_px, glm::vec3(1.0f)});
             x = std::fmod(x + 10.0, 90.0))
            begun = true;
        CHECK_FALSE(queue.finish());
    }
}
